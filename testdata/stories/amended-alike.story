# Two people correct the same slip in the same way: there is nothing to ask.
as in usual
---
yard: a = fill box grain with oats bags 3
all meet
yard: amend entry a why "two" as fill box grain with oats bags 2
cab: amend entry a why "I saw two" as fill box grain with oats bags 2
all meet
expect everyone: boxes doubts
  box grain: 100 lb of oats
  box grass: empty
  box legume: empty
  no doubt
