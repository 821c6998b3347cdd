# A signature can be taken back, and so can a release: both only ever make the
# drill less ready.
as in usual
---
cab: h = hitch by list
cab: s1 = sign item 1 of h
cab: s2 = sign item 2 of h
yard: pin = hold why pin
all meet
cab: rel = release why "pin is in"
all meet
expect everyone: ready
  the drill: ready
cab: t = strike entry rel why "it was the wrong pin"
all meet
expect everyone: ready
  the drill: not ready; hold pin by Cleo
house: rel2 = release why "right pin"
house: u = strike entry s2 why "hoses came loose"
all meet
expect everyone: ready
  the drill: not ready; missing: check("hoses tied clear")
