# The cab's tablet broke on Tuesday and went on from Monday's copy, out of
# signal: under one name it wrote two different entries. Both are kept, neither
# overwrites the other, and the tablet takes a new identity.
as in usual
---
copy cab monday
cab: a = fill box grain with oats bags 1
cab: h = hitch by list
cab meets yard
yard: pin = hold why "a pin is missing"
restore cab monday
cab: b = fill box legume with clover bags 1
cab: c = bagsin lot oats bags 3
cab meets truck
all meet
expect everyone: ready boxes lots crew doubts
  the drill: not ready; hold pin by Cleo; missing: check("engine off and key out"); missing: check("hoses tied clear")
  box grain: 50 lb of oats
  box grass: empty
  box legume: 50 lb of clover
  lot oats: oat, 3 bags in, 0 out, 50 lb filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 50 lb filled
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  doubt forked, device(cab): a, b
house: inv = invite person Ben
house meets cab
cab anew by inv
cab: sign item 1 of h
cab: sign item 2 of h
cab: release why "the pin is in"
house: s = settle doubt forked of a b why "the tablet joined anew"
all meet
expect everyone: ready crew doubts
  the drill: ready
  Ada: owner, on house
  Ben: operator, on cab, on cab'
  Cleo: helper, on yard
  Dov: helper, on truck
  settled forked, device(cab): a, b
