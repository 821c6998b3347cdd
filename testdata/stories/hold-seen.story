# Who has seen a hold is told to whoever raised it, each person once, as they
# first said so; they know of it themselves. It releases nothing, nobody is asked
# about it, and it is not struck. Who sees it as a guest has seen it.
as in usual
---
yard: pin = hold why "a pin is missing"
yard meets cab
cab: eyes = see holds pin
cab (Dov): see holds pin
cab: see
yard: see
expect cab: ready
  the drill: not ready; hold pin by Cleo, seen by Ben, Dov; missing: hitch
all meet
house: hose = hold drill none why "a hose leaks"
house: Edda = member role viewer
house: foredda = invite person Edda
tower joins by foredda
all meet
tower: see
truck: see holds hose
all meet
expect everyone: ready doubts
  the drill: not ready; hold pin by Cleo, seen by Ben, Dov, Edda; hold hose by Ada, seen by Edda, Dov; missing: hitch
  no doubt
cab: strike entry eyes why "did not look"
house: release holds pin why "the pin is in"
all meet
expect everyone: ready doubts
  the drill: not ready; hold hose by Ada, seen by Edda, Dov; missing: hitch
  doubt no-right, device(cab): cab/5
