# Dov poured last year's oats before Cleo poured this year's, but his phone was
# out of reach all day. Once it is heard of, his seed lies at the bottom and
# went out first.
as in usual
house: old = lot species oat bag 50 lb
all meet
---
house: dial box grain to 40
house meets cab
house meets yard
truck: a = fill box grain with old mass 20 lb at 0
yard: b = fill box grain with oats bags 4 at 0
yard meets cab
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on knoll
cab: read at 2.0 on knoll
cab meets house
expect house: boxes acres
  box grain: dial 40, 118 lb of oats
  box grass: empty
  box legume: empty
  bench: 0 ft2 of 7.5 ac
  knoll: 2 ac of 3 ac, 82 lb of oats
all meet
expect everyone: boxes acres doubts
  box grain: dial 40, 138 lb of oats
  box grass: empty
  box legume: empty
  bench: 0 ft2 of 7.5 ac
  knoll: 2 ac of 3 ac, 62 lb of oats, 20 lb of old
  doubt mixed-lots, box(grain): a
  doubt unproved-rate, box.lot-dial(grain, oats, 40): house/29, b
  doubt unproved-rate, box.lot-dial(grain, old, 40): house/29, a
