# Ada's invite for Finn is taken up by two phones. The first has the place;
# the other's entries are kept, and it is shown.
as in usual
house: Finn = member role helper
house: inv = invite person Finn
house meets server
---
hill joins by inv
gate joins by inv
hill meets server
gate meets server
gate: a = fill box grain with oats bags 1
hill: b = fill box legume with clover bags 1
all meet
expect everyone: boxes crew doubts left
  box grain: empty
  box grass: empty
  box legume: 50 lb of clover
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Finn: helper, on hill, on gate (no place)
  doubt one-invite, device gate: hill, gate
  gate left out: its device does not belong to the farm
  a left out: its device does not belong to the farm
house: s = settle doubt one-invite of hill gate stands gate why "the first was a stranger's"
all meet
expect everyone: boxes crew doubts left
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Finn: helper, on hill (no place), on gate
  settled one-invite, device hill: hill, gate
  hill left out: its device does not belong to the farm
  b left out: its device does not belong to the farm
