# The barn's tablet runs a later version. What others cannot read they keep,
# pass on and show, and go on without it.
as in usual
---
cab: a = unknown 77 "a drone's picture of the bench"
cab: b = unknown fill "with a moisture reading"
cab: c = fill box grain with oats bags 1
cab meets yard
yard meets house
expect house: boxes left doubts
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  a left out: not-known
  b left out: not-known
  no doubt
all meet
expect everyone: left
  a left out: not-known
  b left out: not-known
