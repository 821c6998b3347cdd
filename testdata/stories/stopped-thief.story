# Somebody found the barn's tablet, which is an owner's, and stops Ada's device
# with it, while Ada stops the tablet. Of two devices that stop each other the
# elder stands, who is nearer to the founding by who let whom in: no clock
# decides it.
as in usual
house: Edda = member role owner
house: foredda = invite person Edda
barn joins by foredda
all meet
clock of barn -1d
---
barn: theirs = cutoff device house why "I am the owner now"
house: ours = cutoff device barn why "stolen"
house: a = fill box grain with oats bags 1
all meet
expect everyone: boxes crew doubts left
  box grain: 50 lb of oats
  box grass: empty
  box legume: empty
  Ada: owner, on house
  Ben: operator, on cab
  Cleo: helper, on yard
  Dov: helper, on truck
  Edda: owner, on barn (stopped)
  doubt after-stop, device(barn): theirs
  doubt clock, two-clocks(cab, barn): cab, theirs
  doubt clock, two-clocks(house, barn): house/30, theirs
  doubt clock, two-clocks(truck, barn): truck, theirs
  doubt clock, two-clocks(yard, barn): yard, theirs
  theirs left out: stopped
