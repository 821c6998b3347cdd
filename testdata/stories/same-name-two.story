# Two pieces of ground under one name are two: one is renamed.
as in usual
---
house: a = ground name "far end" area 2 ac
cab: b = ground name "far end" area 5 ac
all meet
expect everyone: acres doubts
  bench: 0 ft2 of 7.5 ac
  knoll: 0 ft2 of 3 ac
  far end: 0 ft2 of 2 ac
  far end: 0 ft2 of 5 ac
  doubt same-name, ground(far end): a, b
cab: ground change b name "far end, upper"
all meet
expect everyone: acres doubts
  bench: 0 ft2 of 7.5 ac
  knoll: 0 ft2 of 3 ac
  far end: 0 ft2 of 2 ac
  far end, upper: 0 ft2 of 5 ac
  no doubt
