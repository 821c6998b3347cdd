# Ada's invite for Finn is taken up by two phones. The first that she meets is
# let in by itself; the other waits, and counts for nothing. Where she lets that
# in too both belong, and a doubt says so: a copied invite puts nobody out. She
# stops the wrong one.
as in usual
house: Finn = member role helper
house: inv = invite person Finn
house meets server
---
hill joins by inv
gate joins by inv
hill meets house
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
  Finn: helper, on hill
  no doubt
  gate left out: not-joined
  a left out: not-joined
house: in = admit device gate person Finn role helper
all meet
expect everyone: boxes crew doubts left
  box grain: 50 lb of oats
  box grass: empty
  box legume: 50 lb of clover
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Finn: helper, on hill, on gate
  doubt one-invite, invite-of(Finn): house/30, in
house: out = cutoff device hill why "a stranger's"
all meet
expect everyone: boxes crew doubts left
  box grain: 50 lb of oats
  box grass: empty
  box legume: 50 lb of clover
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Finn: helper, on hill (stopped), on gate
  no doubt
