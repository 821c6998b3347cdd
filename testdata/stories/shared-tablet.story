# The cab's tablet is Ben's, an operator's, and everyone writes on it in their
# own name. Nobody has more right on it than Ben has, nor than their own.
as in usual
---
cab (Cleo): a = fill box grain with oats bags 1
cab (Cleo): b = dial box grain to 50
cab (Ada): c = dial box grain to 40
cab (Ada): d = change member Cleo role operator
all meet
expect everyone: boxes left doubts
  box grain: dial 40, 50 lb of oats
  box grass: empty
  box legume: empty
  b left out: no-right
  d left out: no-right
  doubt no-right, device(cab): b, d
