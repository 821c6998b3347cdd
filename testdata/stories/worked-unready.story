# Ben drills on while nobody has signed the hoses, and later over Cleo's hold.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: a = read at 0 on bench
cab: b = read at 1.0 on bench
all meet
expect everyone: ready acres doubts
  the drill: not ready; missing: check("hoses tied clear")
  bench: 1 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  doubt worked-unready, drill(the drill): b
cab: sign item 2 of h
cab: c = read at 1.5 on bench
all meet
house: seen = settle doubt worked-unready of b why "talked it over"
yard: stop = hold why "a hose hangs"
cab: d = read at 2.0 on bench
all meet
cab: e = read at 2.2 on bench
all meet
expect everyone: ready doubts
  the drill: not ready; hold stop by Cleo
  doubt worked-unready, drill(the drill): d, e
  settled worked-unready, list.commas(drill(the drill), ground(bench)): b
