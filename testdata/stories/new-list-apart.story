# Two lists set apart both count until somebody who knows both sets one. A check
# that both name is one check; one that was not required before, and is now, can
# still be signed for the hitch that is begun.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
all meet
house: checks version 2 item "engine off and key out" required item "jack up" required
cab: checks version 2 item "gloves in the cab" required item "engine off and key out" required
all meet
expect everyone: ready
  the drill: not ready; missing: new-check("jack up", 2); missing: check("gloves in the cab")
cab: sign item 3 of h
all meet
expect everyone: ready
  the drill: not ready; missing: new-check("jack up", 2)
house: checks version 3 item "engine off and key out" required item "gloves in the cab" required
all meet
expect everyone: ready
  the drill: ready
