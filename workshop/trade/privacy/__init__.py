"""How long what is known of people is kept, by place and tax rule."""
