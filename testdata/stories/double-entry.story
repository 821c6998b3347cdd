# Cleo and Ada both write down the same two bags of oats.
as in usual
---
yard: a = fill box grain with oats bags 2
house: b = fill box grain with oats bags 2
all meet
expect everyone: boxes doubts
  box grain: 200 lb of oats
  box grass: empty
  box legume: empty
  doubt double-entry, box(grain): a, b
cab: one = settle doubt double-entry of a b stands a why "two empty bags, not four"
all meet
expect everyone: boxes doubts left
  box grain: 100 lb of oats
  box grass: empty
  box legume: empty
  settled double-entry, list.commas(box(grain), lot(oats)): a, b
  b struck
