# A day on the bench with everything that goes wrong in it.
as in usual
---
house: d1 = dial box grain to 40 why "by the chart"
cab: d2 = dial box grain to 44 why "came out light last time"
cab: h = hitch by list tractor "the blue one"
cab: sign item 1 of h
yard: f1 = fill box grain with oats bags 4
cab (Cleo): f2 = fill box grain with oats bags 4
cab meets yard
cab: sign item 2 of h
expect cab: ready
  the drill: ready
truck: stop = hold why "a hose is pinched"
cab: r1 = read at 0 on bench
cab: r2 = read at 1.5 on bench
truck meets house
all meet
expect everyone: ready boxes acres doubts
  the drill: not ready; hold stop by Dov
  box grain: dial 44, 331.2 lb of oats
  box grass: empty
  box legume: empty
  bench: 1.5 ac of 7.5 ac, 68.75 lb of oats
  knoll: 0 ft2 of 3 ac
  doubt double-entry, box(grain): f1, f2
  doubt two-settings, field.dial(box(grain)): d1, d2
  doubt unproved-rate, box.lot-dial(grain, oats, 44): d2, f1
  doubt worked-unready, drill(the drill): r2
house: s1 = settle doubt two-settings of d1 d2 dial 44 why "read it"
yard: s2 = settle doubt double-entry of f1 f2 stands f1 why "four bags"
cab: s3 = settle doubt double-entry of f1 f2 stands f1 why "four bags"
cab: rel = release why "hose is free"
cab: c = catch box grain with oats dial 44 turns 20 rows 10 mass 485 g scale 1 g
cab: r3 = read at 3.0 on bench
all meet
expect everyone: ready boxes acres doubts left
  the drill: ready
  box grain: dial 44, 68.59 lb of oats
  box grass: empty
  box legume: empty
  bench: 3 ac of 7.5 ac, 131.4 lb of oats
  knoll: 0 ft2 of 3 ac
  doubt no-right, device(yard): s2
  doubt worked-unready, drill(the drill): r2
  settled double-entry, list.commas(box(grain), lot(oats)): f1, f2
  settled two-settings, box(grain): d1, d2
  f2 struck
  s2 left out: no-right
