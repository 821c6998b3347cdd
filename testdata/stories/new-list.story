# A list that is set while the drill is hitched counts at once: what it requires
# and the list before it did not is missing, and can be signed for a hitch that
# is begun on it. Whoever works meanwhile, and does not know of it, works as
# ready; whoever knows does not.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: a = read at 0 on bench
all meet
expect everyone: ready
  the drill: ready
house: list2 = checks version 2 item "engine off and key out" required item "jack up" required
cab: b = read at 1 on bench
expect cab: ready
  the drill: ready
all meet
expect everyone: ready doubts
  the drill: not ready; missing: new-check("jack up", 2)
  no doubt
cab: c = read at 2 on bench
cab: d = read at 3 on bench
all meet
expect everyone: doubts
  doubt worked-unready, drill(the drill): d
cab: h2 = hitch by list2
cab: sign item 1 of h2
all meet
expect everyone: ready
  the drill: not ready; missing: check("jack up")
