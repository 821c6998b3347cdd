# The cab's tablet broke on Tuesday and went on from Monday's copy, out of
# signal: under one name it wrote two different entries. Both are kept, neither
# overwrites the other, and the tablet takes a new identity.
as in usual
---
copy cab monday
cab: a = fill box grain with oats bags 1
cab: h = hitch by list
cab meets yard
yard: pin = hold why "a pin is missing"
restore cab monday
cab: b = fill box legume with clover bags 1
cab: c = bagsin lot oats bags 3
cab meets truck
all meet
expect everyone: ready boxes lots crew doubts
house: inv = invite person Ben
house meets cab
cab anew by inv
cab: sign item 1 of h
cab: sign item 2 of h
cab: release why "the pin is in"
house: s = settle doubt forked of a b why "the tablet joined anew"
all meet
expect everyone: ready crew doubts
