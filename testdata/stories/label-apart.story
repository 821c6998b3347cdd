# A label's shares merge one by one, line by line: what two people set apart is
# both kept where it is of two shares, or of two seeds, and asked where it is of
# one. A line taken off by somebody who knew it is off.
as in usual
---
house: a = label lot clover seed "red clover" share 64% coating 34% inert 1.5% othercrop 0.5%
cab: b = label lot clover seed "red clover" germination 85% hard 5%
all meet
expect everyone: doubts
  no doubt
house: c = label lot clover seed "red clover" germination 81%
cab: d = label lot clover seed "red clover" germination 82% seed timothy share 3%
all meet
expect everyone: doubts
  doubt two-plans, label.field(label.of(label.germination, "red clover"), lot(clover)): c, d
house: s = settle doubt two-plans of c d stands d why "read it off the bag"
house: e = label lot clover seed timothy removed yes
all meet
expect everyone: doubts
  settled two-plans, lot(clover): c, d
