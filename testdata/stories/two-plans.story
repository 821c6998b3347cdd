# Ada and Ben set the bench's details apart. Fields merge one by one: only the
# area, to which both gave another value, is in doubt.
as in usual
---
house: a = ground change bench area 7.2 ac slope 4%
cab: b = ground change bench area 7.4 ac spray "broadleaf in June"
all meet
expect everyone: acres doubts
  bench: 0 ft2 of 7.4 ac
  knoll: 0 ft2 of 3 ac
  doubt two-plans, field(field.area, ground(bench)): a, b
cab: s = settle doubt two-plans of a b stands b why "Ada paced it, Ben measured"
all meet
expect everyone: acres doubts
  bench: 0 ft2 of 7.4 ac
  knoll: 0 ft2 of 3 ac
  settled two-plans, ground(bench): a, b
