# A helper may fill and say stop, but not move a dial. It is kept and shown, and
# left out of the state, also when she is made an operator later: the right
# counts that she had when she wrote, by what she knew.
as in usual
---
yard: a = dial box grain to 50 why "it looked low"
yard: f = fill box grain with oats bags 1
all meet
expect everyone: boxes doubts left
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  doubt no-right, device(yard): a
  a left out: no-right
house: change member Cleo role operator
yard: b = dial box grain to 55 why "still"
all meet
yard: c = dial box grain to 45 why "as we said"
all meet
expect everyone: boxes doubts left
  box grain: dial 45, 50 lb of oats
  box grass: empty
  box legume: empty
  doubt no-right, device(yard): a, b
  a left out: no-right
  b left out: no-right
house: s = settle doubt no-right of a b why "talked about it"
all meet
expect everyone: doubts
  settled no-right, box(grain): a, b
