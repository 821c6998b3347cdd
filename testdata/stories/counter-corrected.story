# The bench is finished at 7.2 acres by the counter, and its map says 7.5: the
# crew takes the counter at 1.042 times what it shows from there on. Two who do
# so apart, differently, are asked which of the two is meant.
as in usual
---
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on bench
cab: read at 7.2 on bench
cab: f = finish ground bench at 7.2 done correction 1042
cab: read at 9.2 on knoll
all meet
expect everyone: acres doubts
  bench: 7.2 ac of 7.5 ac
  knoll: 2.084 ac of 3 ac
  no doubt
cab: c = finish ground bench at 7.2 done correction 1030
yard: y = finish ground bench at 7.2 done correction 1050
all meet
expect everyone: acres doubts
  bench: 7.2 ac of 7.5 ac
  knoll: 2.1 ac of 3 ac
  doubt two-plans, field.correction(drill(the drill)): c, y
house: settle doubt two-plans of c y stands c why "the map is right"
all meet
expect everyone: acres
  bench: 7.2 ac of 7.5 ac
  knoll: 2.06 ac of 3 ac
cab: strike entry c why "the map was of the old fence"
all meet
expect everyone: acres
  bench: 7.2 ac of 7.5 ac
  knoll: 2.1 ac of 3 ac
