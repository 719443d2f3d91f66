# Prints the body of tests/references/study-variance-components.json: REML estimates of lme4 for the Pastes data (batches, casks,
# duplicate assays) and the same data. Run: Rscript tests/generators/variance_components_lme4.R
library(lme4)
data(Pastes)
fit <- lmer(strength ~ 1 + (1 | batch) + (1 | sample), Pastes, REML = TRUE)
found <- as.data.frame(VarCorr(fit))
variance <- setNames(found$vcov, found$grp)
rows <- sprintf('    {"batch": "%s", "cask": "%s", "value": %.1f}', Pastes$batch, Pastes$cask, Pastes$strength)
cat(sprintf('{\n  "source": "Davies & Goldsmith 1972, Statistical Methods in Research and Production, 4th ed. (data set Pastes of R package lme4 %s, %s): REML variance components",\n', packageVersion("lme4"), R.version.string))
cat('  "provenance": "recomputed by tests/generators/variance_components_lme4.R; Bates 2010, lme4: Mixed-effects Modeling with R, ch. 2 prints standard deviations 2.9041, 1.2874, 0.8234 (from memory)",\n')
cat('  "tolerance": 0.0005,\n  "toleranceReason": "relative; balanced data, for which REML is the analysis of variance, but lme4 stops its search at about 1e-4 of a variance",\n')
cat(sprintf('  "batch": %.8f,\n  "cask": %.8f,\n  "residual": %.8f,\n  "cases": [\n%s\n  ]\n}\n', variance["batch"], variance["sample"], variance["Residual"], paste(rows, collapse = ",\n")))
