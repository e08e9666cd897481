"""The functions that rules/derived.yaml may name, and the inverses declared for them."""

from __future__ import annotations

from precheck.derive import (
    brakes,
    dates,
    driveline,
    electrical,
    lamps,
    loads,
    numbers,
    pressure,
    steering,
    stops,
    stoptable,
    suspension,
    tires,
    wire,
)
from precheck.derive.inverse import Inverse
from precheck.derive.outcome import Function

FUNCTIONS: dict[str, Function] = {
    # brakes
    "stop-deceleration": stops.stop_deceleration,
    "stop-efficiency": stops.stop_efficiency,
    "stop-from-twenty": stops.stop_from_twenty,
    "stop-on-level": stops.stop_on_level,
    "meter-deceleration": stops.meter_deceleration,
    "stop-left": stoptable.stop_left,
    "force-left": stoptable.force_left,
    "rate-left": stoptable.rate_left,
    "force-share": brakes.force_share,
    "lower-share": brakes.lower_share,
    "imbalance-of-larger": brakes.imbalance_of_larger,
    "imbalance-of-smaller": brakes.imbalance_of_smaller,
    "left-to-wear": brakes.left_to_wear,
    "left-of-disc": brakes.left_of_disc,
    "pedal-travel": brakes.pedal_travel,
    "heat-apart": brakes.heat_apart,
    # tires
    "size-diameter": tires.size_diameter,
    "size-section-height": tires.size_section_height,
    "size-rim": tires.size_rim,
    "rim-apart": tires.rim_apart,
    "size-ply-rating": tires.size_ply_rating,
    "size-construction": tires.size_construction,
    "marked-speed": tires.marked_speed,
    "index-load": loads.index_load,
    "load-at-pressure": loads.load_at_pressure,
    "load-counted": loads.load_counted,
    "margin-of-sum": loads.margin_of_sum,
    "margin-to-rating": loads.margin_to_rating,
    "pressure-at-temperature": pressure.pressure_at_temperature,
    "days-left": pressure.days_left,
    # dates
    "tire-age": dates.tire_age,
    "number-age": numbers.number_age,
    "age-spread": dates.age_spread,
    "age-of-date": dates.age_of_date,
    # steering
    "free-play-angle": steering.free_play_angle,
    "free-play-share": steering.free_play_share,
    "lash-spare-commercial": steering.lash_spare_commercial,
    "lash-spare-in-use": steering.lash_spare_in_use,
    "lash-spare-periodic": steering.lash_spare_periodic,
    "toe-share": steering.toe_share,
    "play-source": steering.play_source,
    # suspension
    "spare-length": suspension.spare_length,
    "broken-share": suspension.broken_share,
    "shock-places": suspension.shock_places,
    # electrical and lamps
    "per-cell": electrical.per_cell,
    "charge-by-voltage": electrical.charge_by_voltage,
    "voltage-rise": electrical.voltage_rise,
    "flash-rate": electrical.flash_rate,
    "wire-loss": wire.wire_loss,
    "loss-beyond-wire": wire.loss_beyond_wire,
    "at-25-feet": lamps.at_25_feet,
    "aim-angle": lamps.angle,
    # driveline and engine heat
    "compound-angle": driveline.compound_angle,
    "angles-apart": driveline.angles_apart,
    "shaft-speed": driveline.shaft_speed,
    "joint-spare": driveline.joint_spare,
    "diameter-apart": driveline.diameter_apart,
    "sizes-alike": driveline.sizes_alike,
    "heat-on-road": driveline.heat_on_road,
}

_WITH_INVERSES = (
    *(brakes, dates, electrical, lamps, loads, pressure, steering, stops, suspension, tires, wire),
)
INVERSES: dict[str, tuple[Inverse, ...]] = {
    name: found
    for module in (
        brakes,
        dates,
        electrical,
        lamps,
        loads,
        pressure,
        steering,
        stops,
        suspension,
        tires,
        wire,
    )
    for name, found in module.INVERSES.items()
}
"""By the name of the function: what one input would have to be for the value to meet a limit."""
