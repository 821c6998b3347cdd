# Calls are cut, answered twice, answered late and out of order. Nothing is
# lost or doubled.
as in usual
---
yard: a = fill box grain with oats bags 1
yard posts m1 to server
yard: b = fill box legume with clover bags 1
yard calls server unanswered
m1 arrives
yard calls server twice
m1 arrives
house calls server bytes 150
house calls server lost
house calls server bytes 150
m1 returns
all meet
expect everyone: boxes doubts
  box grain: 50 lb of oats
  box grass: empty
  box legume: 50 lb of clover
  no doubt
