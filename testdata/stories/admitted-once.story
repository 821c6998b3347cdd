# An elder owner stopped Ben and took him in again, as an owner. A device that Ben
# had before lets another of his in, which has no force, since the elder took that:
# it says so once, and not each time that devices meet.
house founds "Quill Hollow" owner Ada
server keeps
house: Ben = member role operator
house: forcab = invite person Ben
cab joins by forcab
cab meets server
house meets server
house: stop member Ben why left
house: forben = invite person Ben
house: change member Ben role owner
barn joins by forben
clock of house +2y
all meet
expect everyone: crew doubts
  Ada: owner, on house
  Ben: owner, on cab
  doubt no-right, device(cab): cab/2
