# A reading below one that its writer knew, without a reset, is in doubt. A
# reading that was merely late is put in its place by the counter.
as in usual
---
cab: h = hitch by list tractor "the blue one"
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on bench
cab: read at 2.5 on bench
yard: late = read at 1.1 on bench
all meet
expect everyone: acres doubts
  bench: 2.5 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  no doubt
yard: back = read at 2.0 on bench
all meet
expect everyone: acres doubts
  bench: 2.5 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt counter-back, drill(the drill): back
house: struck = strike entry back why "read 2.9 as 2.0"
cab: read at 2.9 on bench
cab: reset from 2.9 to 0 why "set back for the knoll"
cab: read at 1.2 on knoll
all meet
expect everyone: acres doubts
  bench: 2.9 ac of 7.5 ac
  knoll: 1.2 ac of 3 ac
  no doubt
