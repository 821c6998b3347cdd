# Edda takes in a phone that was stopped in the morning, while Ada stops it
# again: a taking-in lifts only the stops that it knew.
as in usual
house: Edda = member role owner
house: foredda = invite person Edda
barn joins by foredda
all meet
---
house: first = cutoff device truck why "lost"
truck: a = fill box grain with oats bags 1
all meet
barn: back = takein device truck why "found"
house: again = cutoff device truck why "somebody has it"
truck: b = fill box grain with oats bags 1
all meet
expect everyone: boxes crew left
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck (stopped)
  Edda: owner, on barn
  b left out: its device was stopped before it
