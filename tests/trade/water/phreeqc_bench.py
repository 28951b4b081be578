"""PHREEQC (USGS) as the second opinion: small runs that answer one question each."""

from phreeqc import Phreeqc


def _last(database: str, script: str) -> dict[str, float]:
    program = Phreeqc()
    assert program.LoadBuiltInDatabase(database) == 0, program.GetErrorString()
    program.SetSelectedOutputStringOn(True)
    assert program.RunString(script) == 0, program.GetErrorString()
    lines = program.GetSelectedOutputString().strip().splitlines()
    return dict(zip(lines[0].split(), map(float, lines[-1].split()), strict=True))


def _solution(calcium: float, magnesium: float, alkalinity: float, ph: float) -> str:
    """A water by calcium, magnesium and alkalinity in mg/L as CaCO3, chloride making up the charge."""
    per_litre = 100.087
    return f"""SOLUTION 1
    temp 25
    pH {ph}
    units mmol/L
    Ca {calcium / per_litre}
    Mg {magnesium / per_litre}
    Alkalinity {alkalinity / 50.0435}
    Cl 1 charge
    """


def calcite_index(calcium: float, magnesium: float, alkalinity: float, ph: float, temp_c: float) -> float:
    """Calcite saturation index of the water, heated with no gas let out."""
    script = (
        _solution(calcium, magnesium, alkalinity, ph)
        + f"""
    REACTION_TEMPERATURE 1
    {temp_c}
    SELECTED_OUTPUT 1
    -reset false
    -saturation_indices Calcite
    END
    """
    )
    return _last("phreeqc.dat", script)["si_Calcite"]


def calcite_dropped_mg_l(calcium: float, magnesium: float, alkalinity: float, ph: float, temp_c: float) -> float:
    """Calcite that falls out in mg/L when the water is heated with no gas let out."""
    script = (
        _solution(calcium, magnesium, alkalinity, ph)
        + f"""
    REACTION_TEMPERATURE 1
    {temp_c}
    EQUILIBRIUM_PHASES 1
    Calcite 0 0
    SELECTED_OUTPUT 1
    -reset false
    -equilibrium_phases Calcite
    END
    """
    )
    return _last("phreeqc.dat", script)["Calcite"] * 100_087


def ph_with_citric(calcium: float, alkalinity: float, ph: float, citric_mg_l: float) -> float:
    """pH of the water with citric acid in it, closed, with calcium citrate complexes counted."""
    script = (
        _solution(calcium, 0, alkalinity, ph)
        + f"""
    REACTION 1
    H3Citrate 1
    {citric_mg_l / 192.124} mmol
    SELECTED_OUTPUT 1
    -reset false
    -pH true
    END
    """
    )
    return _last("minteq.v4.dat", script)["pH"]
