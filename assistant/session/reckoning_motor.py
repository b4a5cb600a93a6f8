"""Sums of motor, contactor and controls, as one line each. Nothing is said where a datum is missing."""

from __future__ import annotations

from assistant.diagnosis.compute import motor_judged, winding_ohms
from assistant.electrics import coils, heat, insulation, motor
from assistant.electrics.figures import figures
from assistant.electrics.uncertainty import combine, reading_amps, reading_volts
from assistant.session.told import Told


def push(told: Told) -> str | None:
    """Speed and push that low voltage leaves, for the kind of motor told, else between the kinds."""
    boat = told.boat
    volts, current = boat.figure("studs_load"), boat.current_of("studs_load")
    low, high, _ = boat.current_limits()
    if volts is None or current is None or not low <= abs(current) <= high or abs(volts) >= boat.nominal:
        return None
    told_kind, shares = boat.choice("motor_kind"), boat.defaults["winding_share"]
    kinds = (False, True) if told_kind is None else (told_kind != "permanent_magnet",)
    ratio = abs(volts) / boat.nominal
    found = [motor.at_voltage(ratio, shares[end], series=series) for series in kinds for end in ("low", "high")]
    return told.say(
        "push", volts=f"{abs(volts):g}", nominal=f"{boat.nominal:g}", speed=_span(told, [100 * f.speed for f in found]),
        thrust=_span(told, [100 * f.thrust for f in found]),
    )  # fmt: skip


def _span(told: Told, values: list[float]) -> str:
    low, high = f"{min(values):.0f}", f"{max(values):.0f}"
    return low if low == high else told.say("range", low=low, high=high)


def standing(told: Told) -> str | None:
    """Running, labouring, standing or shorted, from voltage, current and the motor's resistance."""
    boat, leads = told.boat, _only_leads(told)
    place = "motor_volts" if boat.figure("motor_volts") else "studs_load"
    volts, current = boat.figure(place), boat.current_of(place)
    judged = motor_judged(abs(current), boat) if current is not None else ()
    if volts is None or current is None or not judged:
        return leads
    states = {"shorted" if one.shorted else one.state for one in judged}
    state = states.pop() if len(states) == 1 else "unsure"
    line = told.say(
        "standing", volts=f"{abs(volts):g}", current=f"{abs(current):g}",
        share=_span(told, [100 * one.share_of_stall for one in judged]), state=told.word("motor_states", state),
    )  # fmt: skip
    return f"{line}. {leads}" if leads else line


def _only_leads(told: Told) -> str | None:
    """Said when the resistance told can only be that of the meter's own leads."""
    ohms, rating = told.boat.figure("motor_resistance"), told.boat.figure("rated_current")
    if not ohms or rating is None or ohms in winding_ohms(told.boat):
        return None
    stall = f"{motor.stall_current(told.boat.nominal, ohms):.0f}"
    return told.say("motor_leads", ohms=f"{ohms:g}", stall=stall, rating=f"{rating:g}")


def contact(told: Told) -> str | None:
    """Resistance and heat of the contactor's contacts."""
    drop, current = told.boat.figure("contactor_drop"), told.boat.current_of("contactor_drop")
    if drop is None or not current or abs(drop) > 0.75 * told.boat.nominal:
        return None
    volts, amps = reading_volts(abs(drop)), reading_amps(abs(current))
    shown = {"drop": f"{abs(drop):g}", "current": f"{abs(current):g}"}
    if not volts.surely_positive:
        return told.say("contact_hidden", **shown, spread=f"{volts.spread:.1g}")
    ohms = combine(coils.contact_ohms, volts, amps).value
    sound = float(figures("coils")["contact"]["sound_ohms"]["value"])
    return told.say(
        "contact", **shown, ohms=f"{1000 * ohms:.2g}", watts=f"{coils.contact_heat(ohms, abs(current)):.0f}",
        sound=f"{1000 * sound:g}", state=told.word("contact_states", coils.contact_state(ohms)),
    )  # fmt: skip


def coil(told: Told) -> str | None:
    """The newest voltage at a coil against what a coil pulls in and lets go at."""
    newest = told.boat.of("coils", "voltage")
    if not newest or not newest[-1].scene - {"at_rest", "isolator_off"}:
        return None
    volts, limits = abs(float(newest[-1].value)), coils.coil_limits(told.boat.nominal)
    return told.say(
        "coil", volts=f"{volts:g}", percent=f"{100 * volts / told.boat.nominal:.0f}", nominal=f"{told.boat.nominal:g}",
        pick_up=f"{limits.pick_up:.1f}", drop_out=f"{limits.drop_out_low:.1f}",
        state=told.word("coil_states", coils.pulls(volts, told.boat.nominal)),
    )  # fmt: skip


def coil_ohms(told: Told) -> str | None:
    """What a coil of the resistance just read draws."""
    newest = told.boat.of("coils", "resistance")
    ohms = float(newest[-1].value) if newest else 0.0
    if not 0 < ohms < 1e4:
        return None
    amps = coils.coil_current(told.boat.nominal, ohms)
    return told.say("coil_ohms", ohms=f"{ohms:g}", amps=f"{amps:.2g}", nominal=f"{told.boat.nominal:g}")


def winding(told: Told) -> str | None:
    """Insulation of the winding, brought to one temperature."""
    read, degrees = told.boat.figure("motor_insulation"), told.boat.figure("motor_temperature")
    if read is None:
        return None
    base = read if degrees is None else insulation.at_base(read, min(max(degrees, -40), 200))
    word = told.word("insulation_words", insulation.in_a_word(base))
    line = (
        told.say("insulation_as_read", read=f"{read:g}", word=word)
        if degrees is None
        else told.say("insulation", read=f"{read:g}", degrees=f"{degrees:g}", base=f"{base:.2g}", word=word)
    )
    wiring, _ = insulation.installation_minimum(told.boat.nominal)
    least = insulation.minimum(told.boat.nominal)
    return line + told.say("insulation_least", wiring=f"{wiring:g}", winding=f"{least:g}")


def running_time(told: Told) -> str | None:
    """Seconds of run left in this session, and the rest until the motor is cold."""
    if not told.runs:
        return None
    limit = told.boat.figure("run_limit")
    duty = heat.usual_duty(limit)
    left, rise = heat.seconds_left(told.runs, duty), heat.rise_after(told.runs, duty)
    shown = {
        "ran": f"{sum(seconds for seconds, _ in told.runs):g}",
        "left": f"{left:.0f}",
        "rest": f"{heat.rest_until_cool(rise, duty) / 60:.0f}",
        "basis": told.say("running_basis" if limit is None else "running_basis_told", rated=f"{duty.run_seconds:g}"),
    }
    return told.say("running_time" if left >= 1 else "running_time_over", **shown)
