# Two holds under one number: Ben's tablet raised one, was restored, and raised
# another. Ada released what she knew as the tablet's note of that number: she
# knew the one, and the other stays.
as in usual
---
house: h = hitch by list
house: sign item 1 of h
house: sign item 2 of h
house meets cab
copy cab monday
cab: first = hold why "a pin is missing"
cab meets house
house: rel = release holds first why "the pin is in"
restore cab monday
cab: second = hold why "a hose is pinched"
expect house: ready
  the drill: ready
all meet
expect everyone: ready doubts
  the drill: not ready; hold second by Ben
  doubt forked, device(cab): first, second
house: rel2 = release why "the hose is free"
all meet
expect everyone: ready doubts
  the drill: ready
  doubt forked, device(cab): first, second
