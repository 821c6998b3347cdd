# The cab's tablet broke and goes on from an old copy. It hears what it had
# written itself before it writes anything, and so goes on as the same device.
as in usual
---
copy cab monday
cab: a = dial box grain to 40
cab meets server
restore cab monday
expect cab: boxes
  box grain: empty
  box grass: empty
  box legume: empty
cab meets server
cab: b = fill box grain with oats bags 1
all meet
expect everyone: boxes doubts
  box grain: dial 40, 50 lb of oats
  box grass: empty
  box legume: empty
  no doubt
