/** What `ionbook --help` prints, and what follows a misspelt command. */
export const HELP = `ionbook: from raw ion chromatograms to results with their uncertainty

  ionbook quantify FOLDER [FOLDER …] --out DIR [--force]
      evaluates one batch folder, or two (anions and cations) as one investigation, and writes
      results.csv, peaks.csv, calibration.csv, checks.csv, balance.csv (two channels) and report.html
      into DIR; files that are there are kept unless --force is given
  ionbook demo [--out DIR]
      evaluates the demonstration data of this package and writes pages into DIR (default: reports);
      replaces its own pages of an earlier run
  ionbook --help | --version

Exit code 0: written, whatever the quality checks say; 1: not done, and the message says why.
`;
