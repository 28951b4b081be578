"""A mail server of one's own for a test: it speaks as much SMTP (RFC 5321) as a client needs, and says no on demand."""

import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field


@dataclass
class Post:
    """What it refuses next (command to answer, each used once), and what it took in."""

    port: int = 0
    refuse: list[tuple[str, str]] = field(default_factory=list)
    taken: list[str] = field(default_factory=list)
    silent_after_data: bool = False


class Talk(socketserver.StreamRequestHandler):
    """One conversation."""

    def handle(self) -> None:
        """Answer line by line until the other side has done."""
        self.say("220 here")
        while line := self.rfile.readline().decode().strip():
            word = line.partition(" ")[0].upper()
            if not self.answer(word):
                return

    def answer(self, word: str) -> bool:
        """Answer one command; return whether to go on."""
        state = self.server.state
        if state.refuse and state.refuse[0][0] == word:
            self.say(state.refuse.pop(0)[1])
        elif word == "DATA":
            return self.take()
        else:
            self.say("221 bye" if word == "QUIT" else "250 fine")
        return word != "QUIT"

    def take(self) -> bool:
        """Take a message in."""
        self.say("354 go on")
        text = b""
        while not text.endswith(b"\r\n.\r\n"):
            text += self.rfile.readline()
        self.server.state.taken.append(text.decode())
        if self.server.state.silent_after_data:
            return False
        self.say("250 taken")
        return True

    def say(self, words: str) -> None:
        """Send one line."""
        self.wfile.write(f"{words}\r\n".encode())


@contextmanager
def post() -> Iterator[Post]:
    """Run the server on a free port of this machine."""
    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), Talk) as server:
        server.daemon_threads = True
        server.state = Post(server.server_address[1])
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
        thread.start()
        yield server.state
        server.shutdown()
        thread.join()
