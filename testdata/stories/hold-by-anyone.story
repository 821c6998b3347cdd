# A hold counts whoever raises it: a phone that was stopped, a stranger, or a
# person without a role. It names no drill, and so stops them all.
as in usual
---
house: h = hitch by list
house: sign item 1 of h
house: sign item 2 of h
house: gone = cutoff device truck why "left in a pasture"
truck: stop = hold drill none why "the hitch is cracked"
all meet
expect everyone: ready doubts
  the drill: not ready; hold stop by Dov
  doubt after-stop, device(truck): stop
house: release why "looked: a scratch in the paint"
all meet
expect everyone: ready
  the drill: ready
