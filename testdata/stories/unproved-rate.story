# Seed goes out on a dial that no catch backs; then somebody catches and weighs.
as in usual
---
cab: d = dial box grain to 40
yard: f = fill box grain with oats bags 2
all meet
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on bench
cab: read at 1.0 on bench
all meet
expect everyone: doubts
  doubt unproved-rate, box.lot-dial(grain, oats, 40): d, f
yard: c = catch box grain with oats dial 40 turns 20 rows 10 mass 441 g scale 1 g
all meet
expect everyone: acres doubts
  bench: 1 ac of 7.5 ac, 39.82 lb of oats
  knoll: 0 ft2 of 3 ac
  no doubt
