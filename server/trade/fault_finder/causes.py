"""The causes, in the order of a craft from battery to picture. Common practice, no source."""

from server.trade.fault_finder.model import OTHER, Cause

ROWS = (
    # Battery, ESC and motors
    Cause(
        "no-pack-power",
        "The battery’s power does not reach the ESC.",
        "Unplug. Solder the battery lead anew, or fit another plug.",
    ),
    Cause(
        "esc-plug-off",
        "The plug or lead between board and ESC is off, or the wrong way round.",
        "Unplug. Seat the plug as the map has it, and replace a cracked lead.",
    ),
    Cause(
        "motor-link-unlike",
        "The motor link that is set is not one that the ESC speaks.",
        "Set the motor link of the map, save and restart.",
    ),
    Cause(
        "endpoints-untaught",
        "The ESC was never taught the ends of its pulses.",
        "Propellers off: teach it both ends, as its maker says.",
        "pulses",
    ),
    Cause(
        "outputs-unset",
        "The outputs are not given to motors in the set-up.",
        "Enter the output rows of the map, save and restart.",
    ),
    Cause(
        "output-row-wrong",
        "One output row names the wrong pad, or a pad is named twice.",
        "Enter the output rows of the map, save and restart.",
    ),
    Cause(
        "timer-taken",
        "A light has the timer of that motor’s output.",
        "Move the light to a pad on another timer, or leave it off.",
        "light",
    ),
    Cause("esc-dead", "The ESC is dead.", "Fit another ESC."),
    Cause("esc-channel-dead", "One channel of the ESC is burnt.", "Fit another ESC."),
    Cause(
        "signal-lead-off",
        "The signal lead of that output is off its pad or broken.",
        "Unplug. Solder or replace the lead.",
    ),
    Cause(
        "signal-bridged",
        "A solder bridge joins two signal pads.",
        "Unplug. Take the bridge off with wick.",
    ),
    Cause(
        "signal-forked",
        "One signal lead goes to two ESC channels.",
        "Unplug. Give each channel the pad that the map has for it.",
    ),
    Cause(
        "motor-lead-off",
        "One of the motor’s three leads has no good contact.",
        "Unplug. Solder the three leads anew.",
    ),
    Cause("motor-dead", "The motor’s winding is open, or shorted in itself.", "Fit another motor."),
    Cause(
        "screw-in-winding",
        "A motor screw is too long and touches the winding.",
        "Unplug. Fit shorter screws, and measure the winding against the frame.",
    ),
    Cause("motor-worn", "A motor’s bearing or shaft is worn or bent.", "Fit another motor."),
    Cause(
        "idle-too-low",
        "The drive at idle is too low for the motor to start.",
        "Raise the idle drive a step at a time, propellers off, and spin again.",
    ),
    # What the craft makes of its motors
    Cause(
        "motor-order",
        "The outputs drive other corners than the firmware expects.",
        "Do the spin step again, and exchange what it says.",
    ),
    Cause(
        "motor-direction",
        "A motor turns against the plan.",
        "Reverse it in the ESC, or exchange two of its leads with the battery off.",
    ),
    Cause(
        "props-wrong",
        "A propeller is on a corner of the other hand.",
        "Write the hands on the pickup sheet, and hand the four over sorted.",
    ),
    Cause(
        "plan-unlike",
        "The set-up has the other plan of turning than the craft.",
        "Settle props-in or props-out with the customer, set it, and spin all four again.",
    ),
    Cause(
        "mounting-untold",
        "The board lies turned, and the set-up does not know.",
        "Do the mounting step again, and enter its three angles.",
    ),
    Cause(
        "mounting-crooked",
        "The board sits a few degrees out of square.",
        "Seat the board square on its posts, then set level again.",
    ),
    Cause(
        "board-loose",
        "The board is loose, or touches the frame, and shakes.",
        "Fit all posts with their soft sleeves, and lead the wires slack.",
    ),
    Cause(
        "level-unset",
        "The accelerometer was not set while the craft was level.",
        "Do the level step again, flat and still.",
    ),
    Cause("frame-bent", "An arm is bent, cracked or loose.", "Replace the arm."),
    Cause(
        "prop-damaged",
        "A propeller is nicked, bent, or unlike the others.",
        "Have the customer fit four new ones of one kind.",
    ),
    # Arming
    Cause(
        "arming-barred",
        "The board bars arming, for a reason that it names.",
        "Look for the symptom ‘Does not arm’.",
    ),
    Cause(
        "arm-range-wrong",
        "The arming range does not hold what the switch reads.",
        "Do the arm switch step again, and enter its range.",
    ),
    Cause(
        "arm-switch-unset",
        "No switch is set to arm, or the switch sends no channel.",
        "Give the switch a channel in the radio, then do the arm switch step.",
    ),
    Cause(
        "throttle-high",
        "The throttle channel at its low end reads too high to arm.",
        "Do the stick ranges step again.",
    ),
    Cause(
        "radio-unheard",
        "The board hears no radio.",
        "Look for the symptom ‘The sticks move nothing on the screen’.",
    ),
    Cause(
        "lead-bars",
        "The set-up program’s own connection bars arming.",
        "End the connection, and arm on the battery with propellers off.",
    ),
    Cause(
        "pack-reading-bars",
        "The battery reads low, or not at all, and bars arming.",
        "Charge the pack, or do the battery readings step again.",
    ),
    Cause(
        "position-awaited",
        "Arming waits for a position fix.",
        "Wait for the fix under open sky, or ask the customer whether arming shall wait.",
        "position",
    ),
    Cause(
        "sensor-unheard",
        "The board does not hear its own motion sensor.",
        "Enter the firmware for exactly this board; if that does not help, fit another board.",
    ),
    Cause(
        "loop-late",
        "The control loop does not keep its time.",
        "Set the loop rate of the map, and take out what was added since.",
    ),
    # Radio
    Cause(
        "receiver-unbound",
        "The receiver is not linked to this radio.",
        "Link the two anew, as their makers say.",
    ),
    Cause(
        "radio-other-model",
        "The radio has another model or another sending kind chosen.",
        "Choose the model of this craft in the radio.",
    ),
    Cause(
        "receiver-port-off",
        "The receiver’s port is not set to receiver input.",
        "Set the port of the map, save, restart, and look that the row stuck.",
    ),
    Cause(
        "receiver-protocol-unlike",
        "The protocol that is set is not the one that it sends.",
        "Set the protocol of the map.",
    ),
    Cause(
        "receiver-swapped",
        "The receiver’s two data wires are swapped.",
        "Unplug. Exchange the two: TX to R, RX to T.",
        "receiver-pair",
    ),
    Cause(
        "receiver-lead-off",
        "A data lead of the receiver is off or broken.",
        "Unplug. Solder or replace the lead.",
    ),
    Cause(
        "receiver-unpowered",
        "The receiver has no supply, or one that dips.",
        "Unplug. Put its supply on the rail of the map, and measure.",
    ),
    Cause(
        "inversion-wrong",
        "The port does not turn the signal over as the protocol needs.",
        "Set the inversion of that port, or move the lead to the pad with the inverter.",
        "inverted",
    ),
    Cause("receiver-dead", "The receiver is dead.", "Fit another receiver."),
    Cause(
        "antenna-off",
        "An antenna of the radio link is off, cut, or lies on carbon.",
        "Fit the antenna, clear of carbon and of power leads.",
    ),
    Cause(
        "radio-noise",
        "Another part on the craft drowns the radio.",
        "Part the two, or feed the noisy one through a filter.",
    ),
    Cause(
        "radio-centre-off",
        "A stick at rest does not read its centre.",
        "Do the stick ranges step again, and enter its trims.",
    ),
    Cause(
        "channels-crossed",
        "Two channels are crossed, or one is reversed.",
        "Do the stick ranges step again, and set the order or the reversal that it names.",
    ),
    # Picture and overlay
    Cause(
        "video-channel-unlike",
        "The goggles look at another channel.",
        "Choose one channel for both, and write it on the pickup sheet.",
    ),
    Cause(
        "video-unbound",
        "Goggles and video unit are not linked.",
        "Link the two anew, as their maker says.",
        "overlay",
    ),
    Cause(
        "video-unpowered",
        "The video unit has no supply, or too little.",
        "Unplug. Put its supply on the rail of the map, and measure.",
    ),
    Cause(
        "video-control-off",
        "The transmitter was told to stay silent.",
        "Enter band, channel and power in the set-up, save and restart.",
        "video-control",
    ),
    Cause(
        "video-antenna-off",
        "The video antenna is off or broken.",
        "Fit an antenna before the next battery.",
    ),
    Cause("video-dead", "The video unit is dead.", "Fit another video unit."),
    Cause(
        "camera-lead-off",
        "The camera’s lead is off or broken.",
        "Unplug. Seat or replace the lead.",
    ),
    Cause("camera-dead", "The camera is dead.", "Fit another camera."),
    Cause(
        "overlay-port-off",
        "The overlay’s port is not set to the overlay.",
        "Set the port of the map, save, restart, and look that the row stuck.",
        "overlay",
    ),
    Cause(
        "overlay-swapped",
        "The overlay’s two data wires are swapped.",
        "Unplug. Exchange the two: TX to R, RX to T.",
        "overlay-pair",
    ),
    Cause(
        "overlay-lead-off",
        "A data lead of the overlay is off or broken.",
        "Unplug. Solder or replace the lead.",
        "overlay",
    ),
    Cause(
        "overlay-none-placed",
        "No figure is chosen, or all lie outside the picture.",
        "Choose the figures and move them inside the picture.",
        "overlay",
    ),
    Cause(
        "overlay-kind-unlike",
        "Another kind of overlay is chosen than the video unit shows.",
        "Choose the kind that the video unit shows, save and restart.",
        "overlay",
    ),
    # Position
    Cause(
        "position-sky",
        "The unit sees too little of the sky.",
        "Wait for the fix outdoors, and keep the unit clear of carbon.",
        "position",
    ),
    Cause(
        "position-port-off",
        "The position unit’s port is not set to it.",
        "Set the port of the map, save, restart, and look that the row stuck.",
        "position",
    ),
    Cause(
        "position-protocol-unlike",
        "The unit speaks another protocol or rate than is set.",
        "Set the protocol of the map, at the rate of the table.",
        "position",
    ),
    Cause(
        "position-swapped",
        "The position unit’s two data wires are swapped.",
        "Unplug. Exchange the two: TX to R, RX to T.",
        "position-pair",
    ),
    Cause(
        "position-lead-off",
        "A data lead of the position unit is off or broken.",
        "Unplug. Solder or replace the lead.",
        "position",
    ),
    Cause(
        "position-unpowered",
        "The position unit has no supply.",
        "Unplug. Put its supply on the rail of the map, and measure.",
        "position",
    ),
    Cause(
        "position-noise",
        "Another part on the craft drowns the position unit.",
        "Part the two, and lead the video unit’s wires away.",
        "position",
    ),
    # Board, USB, settings
    Cause("usb-lead-bad", "The USB lead carries no data.", "Use a lead that is known to."),
    Cause(
        "usb-driver",
        "The computer has no driver for the board, or another program holds it.",
        "End other programs, or use the shop’s second computer.",
    ),
    Cause(
        "usb-socket-bad",
        "The board’s USB socket is loose or dirty.",
        "Clean it, and solder it anew.",
    ),
    Cause(
        "board-in-loader",
        "The board waits in its loader and runs no firmware.",
        "Enter the firmware for exactly this board.",
    ),
    Cause(
        "board-unpowered",
        "A rail of the board is shorted or dead.",
        "Unplug. Take the parts off one by one and measure the rail.",
    ),
    Cause("board-dead", "The board is dead.", "Fit another board."),
    Cause(
        "not-saved",
        "The settings were not saved before the restart.",
        "Enter them, save, wait for the restart, and look again.",
    ),
    Cause(
        "port-cleared",
        "A port is set in a way that the firmware clears by itself.",
        "Give each port one job, save, restart, and look that every row stuck.",
    ),
    Cause(
        "firmware-unlike",
        "The firmware is one for another board.",
        "Enter the firmware for exactly this board, and all settings again.",
    ),
    Cause("memory-bad", "The board’s memory keeps nothing.", "Fit another board."),
    # Battery readings and first power
    Cause(
        "volts-scale",
        "The scale of the voltage reading is off.",
        "Do the battery readings step, and enter the new scale.",
    ),
    Cause(
        "volts-source",
        "The reading is taken from a place that has no battery.",
        "Choose the board’s own battery input as the source.",
    ),
    Cause(
        "cells-wrong",
        "The number of cells is taken wrongly.",
        "Enter the number of cells of the map.",
    ),
    Cause("divider-bad", "A resistor of the board’s battery input is burnt.", "Fit another board."),
    Cause(
        "short-solder",
        "A solder bridge or a strand shorts the battery leads.",
        "Unplug. Take it off, and measure again before any power.",
    ),
    Cause(
        "pack-reversed",
        "Plus and minus of the battery lead are exchanged.",
        "Unplug. Exchange them; then every part has to be proved.",
    ),
    Cause("esc-shorted", "A transistor of the ESC is shorted.", "Fit another ESC."),
    Cause("part-shorted", "A part on the craft is shorted.", "Replace the part."),
    Cause(
        "rail-wrong",
        "A part is on a rail that is too high for it.",
        "Unplug. Put its supply on the rail of the map; then prove the part.",
    ),
    Cause(
        "limiter-small",
        "The limiter trips below what the parts draw.",
        "Use a limiter above the expected current of the first power step.",
    ),
    Cause(OTHER, "Something that is not in this table.", "Write down in words what it was."),
)

CAUSES: dict[str, Cause] = {row.code: row for row in ROWS}
