/** The view into the walls. */
export const cutaway = {
  cutaway: "Cutaway", onCutaway: "Show on cutaway",
  cutawayIs: "The hidden voids as blocks. The list holds the same.",
  noWebgl: "This browser cannot draw in space (no WebGL). Plan and list show the same.",
  turnView: "Turn the building", turnLeft: "Left", turnRight: "Right",
  cutAt: "What is lifted off",
  cut_under: "Under floor", cut_floor: "Walls", cut_ceiling: "Ceiling",
} as const;
