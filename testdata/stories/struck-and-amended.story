# Ben strikes a fill while Cleo corrects it. The strike stands, and that her
# correction does not is shown. Whoever knows of the strike may bring it back.
as in usual
---
yard: a = fill box grain with oats bags 3
all meet
cab: out = strike entry a why "it was written twice"
yard: two = amend entry a why "two" as fill box grain with oats bags 2
all meet
expect everyone: boxes doubts left
  box grain: empty
  box grass: empty
  box legume: empty
  doubt amended-apart, list.commas(box(grain), lot(oats)): out, two
  a struck
yard: back = amend entry a why "no, it happened: two" as fill box grain with oats bags 2
all meet
expect everyone: boxes doubts left
  box grain: 100 lb of oats
  box grass: empty
  box legume: empty
  no doubt
  a amended
