# Each component of a plan is a field of its own: Ada takes clover out while
# Ben changes the oats. Then both change the oats.
as in usual
---
house: a = plan ground bench put clover in legume removed
cab: b = plan ground bench put oats in grain live 40 lb/ac
all meet
expect everyone: plan doubts
  plan of bench: oats in grain at 40 lb/ac live
  plan of knoll:
  no doubt
house: c = plan ground bench put oats in grain live 32 lb/ac depth 19 mm
cab: d = plan ground bench put oats in grain live 44 lb/ac nurse oat
all meet
expect everyone: plan doubts
  plan of bench: oats in grain at 44 lb/ac live; depth 0.748 in; nurse oat
  plan of knoll:
  doubt two-plans, field.plan(ground(bench), oats, grain): c, d
