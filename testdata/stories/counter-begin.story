# A first reading says where the counter stood, and no acres follow from it. Ben
# forgot to write where he began; what Cleo poured says it in part, and Ben says
# the rest later. Then others had the drill.
as in usual
---
house: dial box grain to 40
house meets cab
cab: fill box grain with oats bags 6
cab: a = read at 9.9 on bench
all meet
expect everyone: acres doubts
  bench: not known, at least 0 ft2 of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt counter-begin, drill(the drill): a
yard: b = level box grain mass 200 lb at 9.4
all meet
expect everyone: acres doubts
  bench: not known, at least 0.5 ac of 7.5 ac, 20.5 lb of oats
  knoll: 0 ft2 of 3 ac
  doubt balance, box(grain): b
  doubt counter-begin, drill(the drill): a
  doubt unproved-rate, box.lot-dial(grain, oats, 40): house/28, cab/2
  doubt worked-unready, drill(the drill): a
house: s = settle doubt counter-begin of a choice began-at value 8900 why "Ben remembers"
all meet
expect everyone: acres doubts
  bench: 1 ac of 7.5 ac, 120.5 lb of oats
  knoll: 0 ft2 of 3 ac
  doubt balance, box(grain): b
  doubt unproved-rate, box.lot-dial(grain, oats, 40): house/28, cab/2
  doubt worked-unready, drill(the drill): a
  settled counter-begin, list.commas(drill(the drill), ground(bench)): a
cab: begin at 30.1
cab: read at 31.1 on knoll
all meet
expect everyone: acres doubts
  bench: 1 ac of 7.5 ac, 120.5 lb of oats
  knoll: 1 ac of 3 ac, 41 lb of oats
  doubt balance, box(grain): b
  doubt unproved-rate, box.lot-dial(grain, oats, 40): house/28, cab/2
  doubt worked-unready, drill(the drill): a, cab/5
  settled counter-begin, list.commas(drill(the drill), ground(bench)): a
