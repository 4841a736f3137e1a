"""A few case notes as a shop writes them."""

from __future__ import annotations

HUM = """\
---
case: 2024-0101
date: 2024-03-05
machine: {make: Halden, model: Carrier 35, year: 2018, engine: HD22, odometer: 118400 miles}
symptom: Hums from 35 mph at the front, loud on right-handers
system: wheels
present: [35 mph and up, right-handers]
absent: [left-handers, standing still]
codes: [C1095]
checks:
  - {check: hub axial play, value: 0.03 mm,
     limit: "<= 0.05 mm", limit_from: workshop manual, ok: true}
  - {check: hub spun by hand, found: gritty all the way round, ok: false}
causes:
  - {part: front wheel bearing, fault: outer race spalled, certainty: proved}
routes:
  - {route: press in a new bearing, parts_cost: 85, labour_hours: 2.2, chosen: true}
outcome: {result: fixed, date: 2024-03-06, comeback: false}
cautions: [stands under the axle before the hub nut comes off]
see: [2022-0033]
---
## What we did
Swapped the wheels first: no change. The *noise* moved with the **bend** and not with the surface.

- see the [hum article](../articles/hum.md)
- see [the maker](https://maker.invalid/hub?x=1)
- see [outside](../../secret.md) and [a file](file:///etc/passwd)
- see [a script](javascript:alert(1))
"""

TYRES = """\
---
case: 2022-0033
date: 2022-05-10
machine: {make: Ravelin, model: Merrow, year: 2017, engine: RL14T}
symptom: Hums at the front from 30 mph on coarse road, no change in bends
system: wheels
causes: [{part: front tyres, fault: feathered, certainty: likely}]
outcome: {result: fixed, comeback: true}
---
New bearing first, no difference. Toe was out.
"""

BRAKES = """\
---
case: 2023-0440
date: 2023-09-01
machine: {make: Kestwick, model: KT50, engine: K4D}
symptom: Steering wheel shakes when braking from motorway speed
system: brakes
outcome: {result: declined}
---
Discs measured cold.
"""

PLAIN = "Battery flat after two nights, boot lamp stays on\n\nLamp switch bent. Bent it back.\n"

UNREAD = """\
---
symptom: hums and howls from the back axle on the overrun
cautions: [hot oil when the plug comes out
system: driveline
---
Pinion bearing slack.
"""

ARTICLE = """\
---
title: Hum that rises with road speed
symptom: A hum that goes up and down with road speed
system: wheels
covers: [wheel bearing, tyres]
cautions: [wheels turning on the lift have hurt people]
---
## Make it show
Hold the speed and knock it out of gear.
"""

NOTES = {
    "kb/2024/hum.md": HUM.replace("](../articles", "](../../articles").replace(
        "](../../secret", "](../../../secret"
    ),
    "kb/2022/tyres.md": TYRES,
    "kb/2023/brakes.md": BRAKES,
    "kb/battery.txt": PLAIN,
    "kb/unread.md": UNREAD,
    "articles/hum.md": ARTICLE,
}
