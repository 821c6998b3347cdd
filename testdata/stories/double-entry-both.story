# Two like fills that both happened: four empty bags lie there. And two that
# are not alike: another lot, another box, another half, or much more seed.
as in usual
---
yard: a = fill box grain with oats bags 2
house: b = fill box grain with oats mass 102 lb
yard: c = fill box legume with clover bags 1
house: d = fill box legume with clover bags 2
all meet
expect everyone: boxes doubts
  box grain: 202 lb of oats
  box grass: empty
  box legume: 150 lb of clover
  doubt double-entry, box(grain): a, b
cab: four = settle doubt double-entry of a b stands a b why "four empty bags"
all meet
expect everyone: boxes doubts
  box grain: 202 lb of oats
  box grass: empty
  box legume: 150 lb of clover
  settled double-entry, box(grain): a, b
