"""What is said of a VIN when the vehicle comes in: a slip of the pen is told, never refused."""


def vin_warning(vin: str) -> str:
    """Return the one sentence that warns of `vin`, empty where nothing is wrong or none was typed.

    Not every market gives the check digit, and old vehicles have another number, so the job goes
    on whatever it says.
    """
    from baycompanion.trade.catalogue import work  # with every sum, and only here

    if not vin.strip():
        return ""
    try:
        worked = work("vin", {"vin": vin})
    except ValueError:
        return "Warning: this VIN has not its 17 letters and digits; compare it with the vehicle."
    if worked.values["check_ok"]:
        return ""
    return f"Warning: {worked.because[:1].lower()}{worked.because[1:]}"
