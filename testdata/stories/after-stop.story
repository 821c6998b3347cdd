# Dov's phone is lost. What it wrote beyond what Ada knew of is kept, shown and
# left out, until she takes it in.
as in usual
---
truck: a = fill box grain with oats bags 1
truck meets house
truck: b = fill box grain with oats bags 2
house: lost = cutoff device truck why "lost on the road"
truck: c = bagsin lot oats bags 8
all meet
expect everyone: boxes lots crew doubts left
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  lot oats: oat, 0 bags in, 0 out, 50 lb filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck (stopped)
  doubt after-stop, device(truck): b, c
  b left out: stopped
  c left out: stopped
house: found = takein device truck why "it was in the barn all along"
all meet
expect everyone: boxes lots crew doubts left
  box grain: 150 lb of oats
  box grass: empty
  box legume: empty
  lot oats: oat, 8 bags in, 0 out, 150 lb filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck (stopped)
  no doubt
