import type { cutaway as english } from "../en/cutaway";

export const cutaway: Record<keyof typeof english, string> = {
  cutaway: "Corte", onCutaway: "Ver en el corte",
  cutawayIs: "Los huecos ocultos como bloques. La lista dice lo mismo.",
  noWebgl: "Este navegador no dibuja en el espacio (sin WebGL). El plano y la lista dicen lo mismo.",
  turnView: "Girar el edificio", turnLeft: "Izquierda", turnRight: "Derecha",
  cutAt: "Qué se levanta",
  cut_under: "Bajo suelo", cut_floor: "Paredes", cut_ceiling: "Techo",
};
