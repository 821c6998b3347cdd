# Ben and Cleo each write where the counter stood when work began, out of each
# other's reach, and not alike. What lies between is nobody's until somebody
# says which is right.
as in usual
---
cab: a = begin at 212.6 on bench
yard: b = begin at 213.6 on bench
cab: read at 214.6 on bench
expect cab: acres
  bench: 2 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
all meet
expect everyone: acres doubts
  bench: 1 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt two-begins, drill(the drill): a, b
  doubt worked-unready, drill(the drill): cab/3
house: s = settle doubt two-begins of a b stands a why "by Ben's photo"
all meet
expect everyone: acres doubts left
  bench: 2 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt worked-unready, drill(the drill): cab/3
  settled two-begins, list.commas(drill(the drill), ground(bench)): a, b
  b struck
