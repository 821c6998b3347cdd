# By the books 41 lb an acre went out; a look into the box says far less.
as in usual
---
house: dial box grain to 40
yard: fill box grain with oats bags 4
all meet
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: catch box grain with oats dial 40 turns 20 rows 10 mass 436 g scale 1 g
cab: read at 0 on bench
cab: read at 2.0 on bench
all meet
expect everyone: boxes acres doubts
  box grain: dial 40, 121.2 lb of oats
  box grass: empty
  box legume: empty
  bench: 2 ac of 7.5 ac, 78.75 lb of oats
  knoll: 0 ft2 of 3 ac
  no doubt
yard: look = level box grain mass 40 lb at 2.0
all meet
expect everyone: boxes acres doubts
  box grain: dial 40, 40 lb of oats
  box grass: empty
  box legume: empty
  bench: 2 ac of 7.5 ac, 160 lb of oats
  knoll: 0 ft2 of 3 ac
  doubt balance, box(grain): look
