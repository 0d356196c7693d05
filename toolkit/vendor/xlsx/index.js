"use strict";
// Excel files are left out: they would bring megabytes and known faults. CSV does the job.
const refuse = () => {
  throw new Error("Excel files are not part of this build of danfojs: save the sheet as CSV and use readCSV or toCSV.");
};

module.exports = { read: refuse, readFile: refuse, write: refuse, writeFile: refuse, utils: new Proxy({}, { get: () => refuse }) };
