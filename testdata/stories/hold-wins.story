# Cleo sees that a pin is missing and says stop, out of signal. Ben signs
# everything off and releases what he knows of, which is nothing. When they
# meet, the hold wins. A helper cannot release it; who does must have known it.
as in usual
---
cab: h = hitch by list tractor "the blue one"
all meet
yard: pin = hold why "a pin is missing"
cab: sign item 1 of h
cab: sign item 2 of h
expect cab: ready
  the drill: ready
expect yard: ready
  the drill: not ready; hold pin by Cleo; missing: check("engine off and key out"); missing: check("hoses tied clear")
all meet
expect everyone: ready doubts
  the drill: not ready; hold pin by Cleo
  no doubt
yard: mine = release why "found it"
all meet
expect everyone: ready doubts
  the drill: not ready; hold pin by Cleo
  doubt no-right, device(yard): mine
cab: sure = release holds pin why "the pin is in"
all meet
expect everyone: ready
  the drill: ready
