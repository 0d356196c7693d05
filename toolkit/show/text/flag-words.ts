// The words belong to the results; pages find them here beside the other texts.
export { cautions, flagWords } from "../../batch/finding/flag-words.js";
