# Ada and Ben each set up the same lot while apart. It is one: what went by
# either name is one lot's seed.
as in usual
---
house: a = lot name "RC-7" species "red clover" bag 50 lb
cab: b = lot name "RC-7" species "red clover" bag 50 lb
house: fill box legume with a bags 1
cab: fill box legume with b mass 25 lb
all meet
expect everyone: boxes doubts
  box grain: empty
  box grass: empty
  box legume: 50 lb of RC-7, 25 lb of RC-7
  doubt mixed-lots, box(legume): house/29, cab/3
  doubt same-name, lot(RC-7): a, b
house: one = settle doubt same-name of a b stands a why "one bag tag"
all meet
expect everyone: boxes lots doubts
  box grain: empty
  box grass: empty
  box legume: 75 lb of RC-7
  lot oats: oat, 0 bags in, 0 out, 0 oz filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  lot RC-7: red clover, 0 bags in, 0 out, 75 lb filled
  doubt mixed-lots, box(legume): house/29, cab/3
  settled same-name, lot(RC-7): a, b
