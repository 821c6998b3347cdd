# A hitch is judged by the list that it was begun on. A newer list counts from
# the next hitch on.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
house: list2 = checks version 2 item "engine off and key out" required item "jack up" required
all meet
cab: sign item 2 of h
all meet
expect everyone: ready
  the drill: ready
cab: h2 = hitch by list2
cab: sign item 1 of h2
all meet
expect everyone: ready
  the drill: not ready; missing: jack up
