# The grass box is in two halves. Cleo fills only the left one.
as in usual
---
house: chart box grass species "tall fescue" dial 20 rate 15 lb/ac
cab: dial box grass to 20
yard: fill box grass side 1 with fescue bags 2
all meet
expect everyone: boxes
  box grain: empty
  box grass: dial 20, 50 lb of fescue in side 1
  box legume: empty
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: read at 0 on knoll
cab: read at 1.0 on knoll
all meet
expect everyone: boxes acres
  box grain: empty
  box grass: dial 20, 42.5 lb of fescue in side 1
  box legume: empty
  bench: 0 ft2 of 7.5 ac
  knoll: 1 ac of 3 ac, 7.5 lb of fescue
yard: fill box grass with fescue bags 1
all meet
expect everyone: boxes
  box grain: empty
  box grass: dial 20, 55 lb of fescue in side 1, 12.5 lb of fescue in side 2
  box legume: empty
