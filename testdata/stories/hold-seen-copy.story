# A tablet and a copy of it both say that Ben has seen a hold. Which of them he
# held nobody can tell, so that he has not, until he says so on a device that is
# one.
as in usual
---
yard: pin = hold why "a pin is missing"
yard meets cab
copy cab monday
cab: one = see holds pin
cab meets yard
expect yard: ready
  the drill: not ready; hold pin by Cleo, seen by Ben; missing: hitch
restore cab monday
cab: note that "wet by the gate"
cab: two = see
all meet
expect everyone: ready doubts
  the drill: not ready; hold pin by Cleo; missing: hitch
  doubt forked, device(cab): one, 57fadf/2
house: inv = invite person Ben
house meets cab
cab anew by inv
cab: now = see
all meet
expect everyone: ready
  the drill: not ready; hold pin by Cleo, seen by Ben; missing: hitch
