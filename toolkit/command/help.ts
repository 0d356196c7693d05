/** What `ionbook --help` prints, and what follows a misspelt command. */
export const HELP = `ionbook: from raw ion chromatograms to results with their uncertainty

  ionbook quantify FOLDER [FOLDER …] --out DIR [--force]
      evaluates one batch folder, or two (anions and cations) as one investigation, and writes
      results.csv, peaks.csv, calibration.csv, checks.csv, balance.csv (two channels) and report.html
      into DIR; files that are there are kept unless --force is given
  ionbook demo [--out DIR]
      runs the investigations that come with this package, evaluates its demonstration data and writes pages
      into DIR (default: reports); replaces its own pages of an earlier run
  ionbook run NOTEBOOK [NOTEBOOK …] [--out DIR] [--in-place] [--timeout SECONDS] [--force]
      runs the cells of each notebook in its own folder and writes the executed notebook and a page of it
      into DIR (default: reports/NAME, replaced at every run; in another DIR files that are there are kept
      unless --force is given). The notebook itself is only rewritten with --in-place. A cell that fails, or
      takes longer than SECONDS (default: 600), ends the run: nothing is written for that notebook
  ionbook verify NOTEBOOK [NOTEBOOK …] [--timeout SECONDS]
      runs each notebook again and compares recorded results and data files with what the notebook holds
  ionbook kernel install
      makes the kernel known to notebook programs on this machine, for this user; needs no Python
  ionbook --help | --version

Exit code 0: done (of quantify: written, whatever the quality checks say; of verify: everything holds);
1: not done, and the message says why.
`;
