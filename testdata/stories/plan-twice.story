# One entry names the same seed in the same box twice: the later figure of its
# list stands, and nobody is in doubt about himself.
as in usual
---
house: a = plan ground knoll put fescue in grass live 12 lb/ac put fescue in grass live 15 lb/ac
all meet
expect everyone: plan doubts
  plan of bench: oats in grain at 36 lb/ac live; clover in legume at 8 lb/ac live
  plan of knoll: fescue in grass at 15 lb/ac live
  no doubt
