# One stretch of the counter is claimed for two pieces of ground: Ben says that
# he drilled the bench from 0 to 3, Cleo that the knoll was done up to 2.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on bench
all meet
cab: a = read at 3.0 on bench
yard: b = read at 2.0 on knoll
all meet
expect everyone: acres doubts
  bench: 1 ac of 7.5 ac
  knoll: 2 ac of 3 ac
  doubt two-pieces, drill(the drill): b, a
house: s = settle doubt two-pieces of b a why "asked: the knoll was done first"
all meet
expect everyone: doubts
  settled two-pieces, drill(the drill): b, a
