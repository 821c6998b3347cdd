# The truck's clock is two years fast, and the yard's an hour slow. Nothing is
# refused, and what is latest is still what knew of the rest.
as in usual
clock of truck +2y
clock of yard -1h
---
truck: a = fill box grain with oats bags 1
truck meets cab
cab: b = dial box grain to 40
cab meets yard
yard: c = level box grain mass 49 lb
all meet
expect everyone: boxes doubts
  box grain: dial 40, 49 lb of oats
  box grass: empty
  box legume: empty
  doubt clock, two-clocks(cab, yard): b, c
  doubt clock, two-clocks(house, yard): house/27, c
  doubt clock, two-clocks(truck, cab): a, b
  doubt clock, two-clocks(truck, yard): a, c
