# A dial that was read and settled comes into doubt again: Cleo's operator
# friend Ben had moved it meanwhile, knowing nothing of the settling.
as in usual
---
house: a = dial box grain to 40 why "by the plan"
cab: b = dial box grain to 42 why "came out light"
house meets cab
house: look = settle doubt two-settings of a b dial 42 why "read it"
cab: c = dial box grain to 44 why "still light"
all meet
expect everyone: boxes doubts
  box grain: dial 44, empty
  box grass: empty
  box legume: empty
  doubt two-settings, field.dial(box(grain)): look, c
  settled two-settings, box(grain): a, b
cab: look2 = settle doubt two-settings of look c dial 44 why "read it again"
all meet
expect everyone: boxes doubts
  box grain: dial 44, empty
  box grass: empty
  box legume: empty
  settled two-settings, box(grain): a, b
  settled two-settings, box(grain): look, c
