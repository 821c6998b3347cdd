# Cleo pours clover onto the fescue in the grass box. Until somebody says how
# the two lie, the fescue goes out first. Ben says that they were mixed, Ada
# later that one lies on the other. Then each says otherwise, apart, and Cleo,
# who poured, says how it was.
as in usual
---
house: chart box grass species "tall fescue" dial 20 rate 6 lb/ac
house: chart box grass species "red clover" dial 20 rate 12 lb/ac
house: dial box grass to 20
cab: begin at 0
yard: fill box grass with fescue mass 6 lb
yard: b = fill box grass with clover mass 12 lb
all meet
cab: read at 0.4 on bench
all meet
expect everyone: boxes acres doubts
  box grain: empty
  box grass: dial 20, 1.8 lb of fescue in side 1, 6 lb of clover in side 1, 1.8 lb of fescue in side 2, 6 lb of clover in side 2
  box legume: empty
  bench: 0.4 ac of 7.5 ac, 2.4 lb of fescue
  knoll: 0 ft2 of 3 ac
  doubt two-seeds, box(grass): b
  doubt unproved-rate, box.lot-dial(grass, fescue, 20): house/30, yard/2
  doubt worked-unready, drill(the drill): cab/3
cab: settle doubt two-seeds of b choice blended why "I saw her stir it"
all meet
expect everyone: boxes acres doubts
  box grain: empty
  box grass: dial 20, 2.4 lb of fescue in side 1, 4.8 lb of clover in side 1, 2.4 lb of fescue in side 2, 4.8 lb of clover in side 2
  box legume: empty
  bench: 0.4 ac of 7.5 ac, 1.2 lb of fescue, 2.4 lb of clover
  knoll: 0 ft2 of 3 ac
  doubt unproved-rate, box.lot-dial(grass, clover, 20): house/30, b
  doubt unproved-rate, box.lot-dial(grass, fescue, 20): house/30, yard/2
  doubt worked-unready, drill(the drill): cab/3
  settled two-seeds, box(grass): b
house: settle doubt two-seeds of b choice layered why "it looks so from above"
cab: read at 0.8 on bench
all meet
expect everyone: boxes acres doubts
  box grain: empty
  box grass: dial 20, 9.6 oz of fescue in side 1, 6 lb of clover in side 1, 9.6 oz of fescue in side 2, 6 lb of clover in side 2
  box legume: empty
  bench: 0.8 ac of 7.5 ac, 4.8 lb of fescue
  knoll: 0 ft2 of 3 ac
  doubt unproved-rate, box.lot-dial(grass, fescue, 20): house/30, yard/2
  doubt worked-unready, drill(the drill): cab/3, cab/5
  settled two-seeds, box(grass): b
cab: settle doubt two-seeds of b choice layered why "she pours slowly"
house: settle doubt two-seeds of b choice blended why "asked Cleo: she stirred it"
all meet
expect everyone: boxes acres doubts
  box grain: empty
  box grass: dial 20, 9.6 oz of fescue in side 1, 6 lb of clover in side 1, 9.6 oz of fescue in side 2, 6 lb of clover in side 2
  box legume: empty
  bench: 0.8 ac of 7.5 ac, 4.8 lb of fescue
  knoll: 0 ft2 of 3 ac
  doubt two-seeds, box(grass): b
  doubt unproved-rate, box.lot-dial(grass, fescue, 20): house/30, yard/2
  doubt worked-unready, drill(the drill): cab/3, cab/5
yard: settle doubt two-seeds of b choice blended why "I stirred it"
all meet
expect everyone: boxes acres doubts
  box grain: empty
  box grass: dial 20, 1.8 lb of fescue in side 1, 3.6 lb of clover in side 1, 1.8 lb of fescue in side 2, 3.6 lb of clover in side 2
  box legume: empty
  bench: 0.8 ac of 7.5 ac, 2.4 lb of fescue, 4.8 lb of clover
  knoll: 0 ft2 of 3 ac
  doubt unproved-rate, box.lot-dial(grass, clover, 20): house/30, b
  doubt unproved-rate, box.lot-dial(grass, fescue, 20): house/30, yard/2
  doubt worked-unready, drill(the drill): cab/3, cab/5
  settled two-seeds, box(grass): b
