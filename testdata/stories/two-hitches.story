# Two people begin a hitch apart, and each signs their own: neither counts
# before it is clear which hitch this is.
as in usual
---
cab: h1 = hitch by list tractor "the blue one"
house: h2 = hitch by list tractor "the red one"
cab: sign item 1 of h1
cab: sign item 2 of h1
house: sign item 1 of h2
house: sign item 2 of h2
expect cab: ready
  the drill: ready
all meet
expect everyone: ready
  the drill: not ready; missing: two-hitches
cab: h3 = hitch by list tractor "the blue one"
cab: sign item 1 of h3
cab: sign item 2 of h3
all meet
expect everyone: ready
  the drill: ready
