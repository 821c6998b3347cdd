# The plan puts oats into the grain box. Dov pours fescue there.
as in usual
---
truck: a = fill box grain with fescue bags 1
yard: b = fill box grain with oats bags 1
all meet
expect everyone: boxes doubts
  box grain: 25 lb of fescue, 50 lb of oats
  box grass: empty
  box legume: empty
  doubt mixed-lots, box(grain): a
  doubt two-seeds, box(grain): b
cab: out = drain box grain all to "a bin, for the knoll"
yard: c = fill box grain with oats bags 1
all meet
house: s = settle doubt mixed-lots of a why "drained again"
all meet
expect everyone: boxes doubts
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  doubt two-seeds, box(grain): b
  settled mixed-lots, list.commas(box(grain), lot(fescue)): a
