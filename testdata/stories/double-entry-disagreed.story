# Ben and Ada settle the same double entry apart, each another way: the doubt
# stays open until one of them settles it knowing the other's word.
as in usual
---
yard: a = fill box grain with oats bags 2
house: b = fill box grain with oats bags 2
all meet
cab: s1 = settle doubt double-entry of a b stands a why "one fill"
house: s2 = settle doubt double-entry of a b stands a b why "two fills"
all meet
expect everyone: boxes doubts
  box grain: 200 lb of oats
  box grass: empty
  box legume: empty
  doubt double-entry, box(grain): a, b
cab: s3 = settle doubt double-entry of a b stands a b why "asked Cleo: two"
all meet
expect everyone: boxes doubts
  box grain: 200 lb of oats
  box grass: empty
  box legume: empty
  settled double-entry, box(grain): a, b
