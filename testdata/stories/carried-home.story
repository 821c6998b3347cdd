# No signal all day. Dov's phone passes the tractor at noon; in the evening he
# hands over a stick, half of which can be read, and then the whole of it.
as in usual
---
house: dial box grain to 40
house meets cab
cab: h = hitch by list
cab: sign item 1 of h
cab: sign item 2 of h
cab: a = read at 0 on bench
cab: b = read at 2.0 on bench
cab meets truck
truck: c = bagsin lot oats bags 12
truck carries stick
house takes stick cut 70%
expect house: acres lots
  bench: 2 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  lot oats: oat, 12 bags in, 0 out, 0 oz filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
house takes stick
expect house: acres lots ready
  bench: 2 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  lot oats: oat, 12 bags in, 0 out, 0 oz filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  the drill: ready
all meet
expect everyone: acres lots ready
  bench: 2 ac of 7.5 ac
  knoll: 0 ft2 of 3 ac
  lot oats: oat, 12 bags in, 0 out, 0 oz filled
  lot fescue: tall fescue, 0 bags in, 0 out, 0 oz filled
  lot clover: red clover, 0 bags in, 0 out, 0 oz filled
  the drill: ready
