import { type IonbookError, isIonbookError } from "../../toolkit/errors.js";

/** The IonbookError with which something is refused; any other outcome fails the test. */
export async function refusalOf(work: Promise<unknown>): Promise<IonbookError> {
  try {
    await work;
  } catch (error) {
    if (isIonbookError(error)) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}
