package main

import "github.com/spf13/cobra"

// addFarmCommands adds the commands on the device's store, in the order of a
// farm's life.
func (g *globals) addFarmCommands(root *cobra.Command) {
	groups := []struct {
		id, title string
		commands  []*cobra.Command
	}{
		{"crew", "The farm, its crew and its devices:", []*cobra.Command{
			newFoundCommand(g), newInviteCommand(g), newJoinCommand(g), newCrewCommand(g), newStopCommand(g), newTakeInCommand(g), newRecoverCommand(g), newStatusCommand(g)}},
		{"plan", "Setting up and planning:", []*cobra.Command{newSetCommand(g), newPlanCommand(g), newBagsCommand(g), newWeighCommand(g)}},
		{"day", "The day's work:", []*cobra.Command{
			newHitchCommand(g), newMeterCommand(g), newFillCommand(g), newRecordCatchCommand(g), newDialMovedCommand(g), newLevelCommand(g),
			newDrainCommand(g), newBringCommand(g), newSpotCommand(g), newNoteCommand(g), newFinishCommand(g), newCountStandCommand(g)}},
		{"look", "Looking, and putting right:", []*cobra.Command{
			newBoxesCommand(g), newGroundCommand(g), newDoubtsCommand(g), newSettleCommand(g), newAmendCommand(g), newStrikeCommand(g),
			newLogCommand(g), newWhyCommand(g)}},
		{"paper", "Papers for the family, a lender or an auditor:", paperCommands(g)},
		{"carry", "Bringing records together, and keeping them:", []*cobra.Command{
			newPageCommand(g), newSyncCommand(g), newMeetCommand(g), newAtCommand(g), newCarryCommand(g), newDigestCommand(g), newVerifyCommand(g),
			newBackupCommand(g), newRestoreCommand(g)}},
		{"sums", "The arithmetic alone, and trying it out:", []*cobra.Command{newRateCommand(g), newDemoCommand(g), newBenchCommand(g)}},
	}
	for _, gr := range groups {
		root.AddGroup(&cobra.Group{ID: gr.id, Title: gr.title})
		for _, c := range gr.commands {
			c.GroupID = gr.id
			root.AddCommand(c)
		}
	}
	_ = root.RegisterFlagCompletionFunc("drill", g.completion(drillNames))
	_ = root.RegisterFlagCompletionFunc("as", g.completion(crewNames))
}
