# A hold is lifted by a release and by nothing else: it is not struck, not
# reworded, and no settlement of some doubt takes it away.
as in usual
---
house: h = hitch by list
house: sign item 1 of h
house: sign item 2 of h
yard: pin = hold why pin
yard: a = fill box grain with oats bags 1
all meet
cab: struck = strike entry pin why "it is in"
cab: reworded = amend entry pin why "it is in" as hold drill none why nothing
cab: aside = settle doubt double-entry of pin a stands a why "it is in"
cab: chosen = settle doubt two-plans of pin a stands a why "it is in"
all meet
expect everyone: ready left
  the drill: not ready; hold pin by Cleo
  struck left out: no-force
  reworded left out: no-force
