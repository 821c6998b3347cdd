# Somebody restores an old copy of Dov's lost phone to write on after it was
# stopped: the stop ends every branch of its log.
as in usual
---
copy truck monday
truck: a = bagsin lot oats bags 2
truck meets house
house: lost = cutoff device truck why "lost on the road"
restore truck monday
truck: b = bagsin lot oats bags 50
truck: c = bagsin lot oats bags 60
all meet
expect everyone: lots crew doubts left
  lot oats: oat, 2 bags in, 0 out, 0 oz filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck (stopped)
  doubt after-stop, device(truck): b, c
  doubt forked, device(truck): a, b
  b left out: stopped
  c left out: stopped
