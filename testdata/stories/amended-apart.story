# Cleo wrote three bags. She corrects it to two while Ben makes it four.
as in usual
---
yard: a = fill box grain with oats bags 3
all meet
yard: two = amend entry a why "two" as fill box grain with oats bags 2
cab: four = amend entry a why "four" as fill box grain with oats bags 4
all meet
expect everyone: boxes doubts left
  box grain: 200 lb of oats
  box grass: empty
  box legume: empty
  doubt amended-apart, list.commas(box(grain), lot(oats)): two, four
  a amended
cab: three = amend entry a why "counted the empties" as fill box grain with oats bags 3
all meet
expect everyone: boxes doubts
  box grain: 150 lb of oats
  box grass: empty
  box legume: empty
  no doubt
