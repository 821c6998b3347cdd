# Edda takes in a phone that Ada, who is the elder owner, had stopped, and Ada
# stops it again: what an elder took, only the elder gives back.
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
  box grain: empty
  box grass: empty
  box legume: empty
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck (stopped)
  Edda: owner, on barn
  a left out: stopped
  b left out: stopped
