"""Sums of the supply, as one line each: battery, cable, fuse. Nothing is said where a datum is missing."""

from __future__ import annotations

from assistant.diagnosis.compute import cable_told, charge_at_rest, inner_ohms, promised_ohms, winding_ohms
from assistant.electrics import battery, conductors, fuse, motor
from assistant.electrics.current import current_from_drop
from assistant.electrics.figures import number
from assistant.electrics.path import LEGS, path_data
from assistant.session.told import Told


def charge(told: Told) -> str | None:
    """State of charge from the rest voltage."""
    boat = told.boat
    volts, (kind, _) = boat.figure("battery_rest"), boat.chemistry
    found = charge_at_rest(abs(volts), kind, boat) if volts is not None else None
    if found is None or volts is None:
        return None
    degrees = boat.figure("battery_temperature")
    line = told.say(
        "charge", volts=f"{abs(volts):g}", charge=f"{found.value:.0f}", low=f"{max(found.value - found.spread, 0):.0f}",
        high=f"{min(found.value + found.spread, 100):.0f}", kind=told.word("kinds", kind),
        temperature="" if degrees is None else told.say("charge_temperature", degrees=f"{degrees:g}"),
    )  # fmt: skip
    return line + (told.say("charge_flat_curve") if kind == "lithium" else "")


def gravity(told: Told) -> str | None:
    """State of charge from the hydrometer."""
    read, degrees = told.boat.figure("gravity"), told.boat.figure("battery_temperature")
    if read is None:
        return None
    found = f"{battery.charge_from_gravity(read, degrees):.0f}"
    if degrees is None:
        return told.say("gravity", gravity=f"{read:.3f}", charge=found)
    corrected = f"{battery.corrected_gravity(read, degrees):.3f}"
    return told.say(
        "gravity_corrected", gravity=f"{read:.3f}", degrees=f"{degrees:g}", corrected=corrected, charge=found
    )


def sag(told: Told) -> str | None:
    """Inner resistance from sag and current, and what the cranking rating promises."""
    boat = told.boat
    rest, load = boat.figure("battery_rest"), boat.figure("battery_load")
    current = boat.current_of("battery_load")
    found = inner_ohms(abs(load), current, boat) if load is not None else None
    if found is None or rest is None or load is None or current is None:
        return None
    line = told.say(
        "sag", rest=f"{abs(rest):g}", load=f"{abs(load):g}", sag=f"{abs(rest) - abs(load):.2g}",
        current=f"{abs(current):g}", ohms=f"{1000 * found.value:.2g}", spread=f"{1000 * found.spread:.1g}",
    )  # fmt: skip
    promised, rating = promised_ohms(boat), boat.figure("cranking_rating")
    if promised is None or rating is None:
        return line
    return line + told.say("sag_promise", rating=f"{rating:g}", promised=f"{1000 * promised:.2g}")


def current(told: Told) -> str | None:
    """Current from the loss along one side, where no clamp meter was there and the other side was not read."""
    boat = told.boat
    drops = {leg: boat.number(path_data()["legs"][leg]["subject"], "drop", "under_load") for leg in LEGS}
    read = [(leg, abs(drop)) for leg, drop in drops.items() if drop is not None]
    if boat.load_current is not None or len(read) != 1 or read[0][1] > 0.5 * boat.nominal:
        return None
    laid = cable_told(path_data()["legs"][LEGS[0]]["subject"], boat)
    found = current_from_drop(read[0][1], laid, read[0][0])
    if found is None:
        return None
    return told.say(
        "current", drop=f"{read[0][1]:g}", length=f"{laid.length:g}", section=f"{laid.cross_section:g}",
        current=f"{found.value:.0f}", spread=f"{found.spread:.0f}",
    )  # fmt: skip


def feed(told: Told) -> str | None:
    """Whether a sound, full bank of this cranking rating can feed the motor."""
    boat = told.boat
    rating, current, ohms = boat.figure("cranking_rating"), boat.figure("rated_current"), None
    ohms = promised_ohms(boat)
    if rating is None or current is None or ohms is None:
        return None
    rest = battery.rest_volts(100, boat.chemistry[0], boat.nominal)
    found = battery.can_feed(current, rest, ohms, boat.nominal)
    name = "feed_enough" if found.enough else "feed_short"
    volts, least = f"{found.volts_at_posts:.1f}", f"{found.least_volts:g}"
    return told.say(name, rating=f"{rating:g}", volts=volts, current=f"{current:g}", least=least)


def cable(told: Told) -> str | None:
    """What the cable itself costs, and the sizes that would cost less."""
    boat = told.boat
    length, section = boat.figure("cable_length"), boat.figure("cable_section")
    current = boat.figure("rated_current") or boat.load_current
    if not length or not section or not current:
        return None
    loss = abs(current) * 2 * length * conductors.as_bought_per_m(section)
    lengths = told.say("lengths", length=f"{length:g}", section=f"{section:g}")
    line = told.say(
        "cable", lengths=lengths, loss=f"{loss:.2g}", current=f"{abs(current):g}",
        percent=f"{100 * loss / boat.nominal:.0f}", nominal=f"{boat.nominal:g}",
    )  # fmt: skip
    sizes = {}
    for name in ("critical", "other"):
        allowed = conductors.allowed_drop(boat.nominal, name)
        sizes[name] = conductors.size_for_drop(abs(current), 2 * length, allowed) or told.say("no_size")
    shares = {name: f"{100 * number('conductors', 'drop_limits', name):g}" for name in sizes}
    return line + told.say(
        "cable_sizes", wide=shares["other"], wide_size=sizes["other"], narrow=shares["critical"],
        narrow_size=sizes["critical"],
    )  # fmt: skip


def fuse_size(told: Told) -> str | None:
    """The fuse against cable and motor."""
    boat = told.boat
    rating, current = boat.figure("fuse_rating"), boat.figure("rated_current")
    section = boat.figure("cable_section")
    if not rating or not current or not section:
        return None
    try:
        fit = fuse.fits(rating, section, current, voltage=boat.nominal)
    except ValueError:
        return None  # a cable thinner than any of the table
    return told.say(
        "fuse_size", rating=f"{rating:g}", largest=f"{fit.largest:.0f}", current=f"{current:g}",
        smallest=f"{fit.smallest:.0f}", outcome=told.word("fuse_outcomes", fit.size),
    )  # fmt: skip


def fuse_place(told: Told) -> str | None:
    """The fuse's distance from the battery along the cable."""
    distance = told.boat.figure("fuse_distance")
    if distance is None:
        return None
    limits = {
        "limit": f"{fuse.distance_limit('at_battery_sheathed'):.2f}",
        "bare": f"{fuse.distance_limit('bare'):.2f}",
    }
    name = (
        "fuse_near_bare"
        if fuse.near_enough(distance, "bare")
        else "fuse_near"
        if fuse.near_enough(distance)
        else "fuse_far"
    )
    return told.say(name, distance=f"{distance:g}", **limits)


def fuse_blown(told: Told) -> str | None:
    """What may have opened a blown fuse."""
    boat = told.boat
    rating, running, ends = boat.figure("fuse_rating"), boat.figure("rated_current"), winding_ohms(boat)
    if not told.blown or not rating or not running or not ends:
        return None
    stalls = sorted(motor.stall_current(boat.nominal, ohms) for ohms in ends)
    last = told.runs[-1][0] if told.runs else None
    current = boat.load_current
    causes = fuse.why_blown(rating, running, stalls[-1], run_seconds=last, current=abs(current) if current else None)
    words = told.words["fuse_causes"]
    data = {"running": f"{running:g}", "stall_low": f"{stalls[0]:.2g}", "stall_high": f"{stalls[-1]:.2g}"}
    data |= {key: f"{float(value):.0f}" for key, value in data.items()}
    return told.say("fuse_blown", rating=f"{rating:g}", causes="; ".join(str(words[c]).format(**data) for c in causes))
