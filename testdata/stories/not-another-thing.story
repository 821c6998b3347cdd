# An amendment may say another box or amount, but not make a thing out of a
# change to one: things are the entries that made them.
as in usual
---
house: a = ground change bench notes "gravelly"
yard: f = fill box grain with clover bags 1
all meet
house: b = amend entry a why "meant a new one" as ground name "far end" area 2 ac
yard: g = amend entry f why "wrong box" as fill box legume with clover bags 1
all meet
expect everyone: boxes acres left
  box grain: empty
  box grass: empty
  box legume: 50 lb of clover
  bench: 0 ft2 of 7.5 ac
  knoll: 0 ft2 of 3 ac
  f amended
  b left out: no-force
