# Two owners give Finn different roles while apart. An operator cannot settle
# which of them stands; an owner can.
as in usual
house: Edda = member role owner
house: foredda = invite person Edda
barn joins by foredda
house: Finn = member role viewer
all meet
---
house: a = change member Finn role helper
barn: b = change member Finn role owner
all meet
expect everyone: doubts
  doubt two-plans, field(field.role, person(Finn)): a, b
cab: mine = settle doubt two-plans of a b stands b why "he is a friend"
all meet
expect everyone: crew doubts
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Edda: owner, on barn
  Finn: helper
  doubt no-right, device(cab): mine
  doubt two-plans, field(field.role, person(Finn)): a, b
house: ours = settle doubt two-plans of a b stands a why "helper it is"
all meet
expect everyone: crew doubts
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Edda: owner, on barn
  Finn: helper
  doubt no-right, device(cab): mine
  settled two-plans, person(Finn): a, b
