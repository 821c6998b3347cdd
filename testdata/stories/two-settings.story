# Ada and Ben each move the grain box's dial while apart. The dial is one thing
# on one machine: somebody has to go and read it.
as in usual
---
house: a = dial box grain to 40 why "by the plan"
cab: b = dial box grain to 42 why "came out light"
expect house: doubts
  no doubt
cab meets house
expect house: boxes doubts
  box grain: dial 42, empty
  box grass: empty
  box legume: empty
  doubt two-settings, field.dial(box(grain)): a, b

# To say that one of them stands is not enough: nobody has looked.
house: guess = settle doubt two-settings of a b stands a why "mine"
all meet
expect everyone: doubts
  doubt two-settings, field.dial(box(grain)): a, b

cab: look = settle doubt two-settings of a b dial 42 why "read it on the box"
all meet
expect everyone: boxes doubts
  box grain: dial 42, empty
  box grass: empty
  box legume: empty
  settled two-settings, box(grain): a, b
