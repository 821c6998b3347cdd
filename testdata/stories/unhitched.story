# Unhitching voids every signature that it knew, and every one that was written
# apart from it: Ada signs from the house while Ben is unhitching.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
all meet
expect everyone: ready
  the drill: ready
cab: unhitch why "to the road"
house: apart = sign item 1 of h
all meet
expect everyone: ready
  the drill: not ready; missing: hitch
cab: h2 = hitch by list
cab: sign item 1 of h2
all meet
expect everyone: ready
  the drill: not ready; missing: check("hoses tied clear")
house: sign item 2 of h2
all meet
expect everyone: ready
  the drill: ready
