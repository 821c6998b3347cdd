# In the autumn Ben leaves the crew: what he signed does not make the drill
# ready any more. But the spring's work, when he might sign, was not unready.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on bench
cab: read at 2.0 on bench
all meet
expect everyone: ready doubts
  the drill: ready
  no doubt
wait 100d
house: stop member Ben why "left for the city"
all meet
expect everyone: ready doubts crew
  the drill: not ready; missing: check("engine off and key out"); missing: check("hoses tied clear")
  no doubt
  Ada: owner, on house
  Ben: operator, stopped, on cab (stopped)
  Cleo: helper, on yard
  Dov: helper, on truck
