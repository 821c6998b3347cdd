# Cleo's reading runs the counter back. Ben says that it was set back, and Ada,
# apart from him, that Cleo misread it, and leaves the reading out. Nothing runs
# back then, but nobody's word is passed over: the doubt stays open.
as in usual
---
cab: h = hitch by list tractor "the blue one"
cab: sign item 1 of h
cab: sign item 2 of h
cab: begin at 0 on bench
cab: read at 2.5 on bench
all meet
yard: back = read at 2.0 on bench
all meet
expect everyone: acres doubts
  bench: 2.5 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt counter-back, drill(the drill): back
cab: s1 = settle doubt counter-back of back choice set-back value 2000 why "set back at the gate"
house: strike entry back why "misread"
house: s2 = settle doubt counter-back of back choice instead value 2000 why "misread"
all meet
expect everyone: acres doubts
  bench: 2.5 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt counter-back, list.commas(drill(the drill), ground(bench)): back
