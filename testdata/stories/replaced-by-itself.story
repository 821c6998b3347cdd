# Ada stops the very device that she writes on, since she has a new one. What
# she said last, that it is stopped, still counts.
as in usual
---
house: done = cutoff device house why "replaced"
house: more = note that "typed on the old one"
all meet
expect everyone: crew left doubts
  Ada: owner, on house (stopped)
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  more left out: stopped
  doubt after-stop, device(house): more
