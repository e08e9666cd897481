"""Readings that nobody is asked for by themselves, because few can take them."""

# What a rule may block a use by without asking for it: an instrument that few have, or a look that
# only sharpens what another rule asks for. All else that blocks is asked for, or silence would pass.
RARE = frozenset(
    [
        "axle-squareness",
        "belt-cut-edge",
        "belt-cut-middle",
        "brake-disc-limit-mark",
        "brake-disc-thickness",
        "brake-drum-diameter",
        "brake-drum-limit-mark",
        "brake-force-at-wheel",
        "brake-line-wall-lost",
        "front-brake-type",
        "glass-light",
        "gross-weight-rating",
        "headlamp-lower-edge",
        "headlamp-upper-edge",
        "high-beam-light",
        "hitch-security",
        "horn-level",
        "leak-pool-width",
        "low-beam-glare",
        "parking-brake-force-at-wheel",
        "parking-brake-meter-reading",
        "rear-brake-type",
        "reserve-build-up-time",
        "reserve-pushes-after-warning",
        "ride-height",
        "ride-height-specified",
        "secondary-brake-meter-reading",
        "steering-shimmy-speed",
        "stop-lamp-lower-edge",
        "stop-lamp-upper-edge",
        "tail-lamp-inset",
        "tail-lamp-lower-edge",
        "tail-lamp-upper-edge",
        "tire-profile",
        "tire-speed-marked",
        "tire-wear-bars-level",
    ]
)
