# A helper may strike and correct what she wrote herself, not what others did.
as in usual
---
yard: a = fill box grain with oats bags 3
house: b = bagsin lot oats bags 10
all meet
yard: fix = amend entry a why "two, not three" as fill box grain with oats bags 2
yard: not = strike entry b why "I saw nine"
all meet
expect everyone: boxes lots left
  box grain: 100 lb of oats
  box grass: empty
  box legume: empty
  lot oats: oat, 10 bags in, 0 out, 100 lb filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  a amended
  not left out: no-right
yard: out = strike entry a why "it was the other box"
all meet
expect everyone: boxes left doubts
  box grain: empty
  box grass: empty
  box legume: empty
  a struck
  not left out: no-right
  doubt no-right, device(yard): not
