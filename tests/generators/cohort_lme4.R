# Fits the rows of cohort-rows.csv again with lme4, lmerTest and emmeans and writes tests/references/cohort-lme4.json.
# Debian: r-cran-lme4 r-cran-lmertest r-cran-emmeans r-cran-jsonlite. Run in the project's folder:
#   npx tsx tests/generators/cohort-rows.ts > cohort-rows.csv; Rscript tests/generators/cohort_lme4.R cohort-rows.csv
suppressPackageStartupMessages({ library(lme4); library(lmerTest); library(emmeans); library(jsonlite) })
rows <- read.csv(commandArgs(TRUE)[1], stringsAsFactors = FALSE)
rows <- rows[rows$used == "true", ]
rows$sex <- relevel(factor(rows$sex), "male")
rows$condition_grip <- factor(rows$condition_grip)
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 0.02, rhoend = 1e-9, maxfun = 100000), check.conv.singular = "ignore")

of <- function(measure) {
  own <- rows[rows$measure == measure, ]
  # Centres as the study file says: a stated number, and the mean of the rows.
  own$heel_height_mm <- own$heel_height_mm - 15
  own$femur_per_trunk <- own$femur_per_trunk - mean(own$femur_per_trunk)
  fit <- lmer(response ~ heel_height_mm + sex + condition_grip + femur_per_trunk + heel_height_mm:sex + (heel_height_mm | athlete_id),
              own, control = tight)
  s <- coef(summary(fit, ddf = "Satterthwaite"))
  ci <- s[, 1] + outer(qt(0.975, s[, 3]) * s[, 2], c(-1, 1))
  # Nakagawa & Schielzeth (2013) with the random slope as in Johnson (2014).
  psi <- as.matrix(VarCorr(fit)$athlete_id)
  z <- cbind(1, own$heel_height_mm)
  between <- mean(diag(z %*% psi %*% t(z)))
  fixed <- var(as.vector(model.matrix(fit) %*% fixef(fit)))
  left <- sigma(fit)^2
  grip <- contestMD(fit, rbind(c(0, 0, 0, 1, 0, 0, 0), c(0, 0, 0, 0, 1, 0, 0)))
  e <- as.data.frame(emmeans(fit, "condition_grip", lmer.df = "satterthwaite"))
  list(measure = measure, n = nrow(own), athletes = length(unique(own$athlete_id)),
       effects = data.frame(name = rownames(s), estimate = s[, 1], se = s[, 2], df = s[, 3], p = s[, 5], lower = ci[, 1], upper = ci[, 2], row.names = NULL),
       means = data.frame(level = as.character(e[[1]]), mean = e$emmean, se = e$SE, df = e$df, lower = e$lower.CL, upper = e$upper.CL),
       any = list(df = grip$DenDF, p = grip$`Pr(>F)`), criterion = REMLcrit(fit),
       athlete_sd = sqrt(psi[1, 1]), slope_sd = sqrt(psi[2, 2]), residual_sd = sqrt(left),
       icc = between / (between + left), marginal = fixed / (fixed + between + left), conditional = (fixed + between) / (fixed + between + left))
}
out <- list(source = sprintf("lme4 %s, lmerTest %s, emmeans %s in %s", packageVersion("lme4"), packageVersion("lmerTest"), packageVersion("emmeans"), R.version.string),
            provenance = "recomputed: tests/generators/cohort_lme4.R from the rows that tests/generators/cohort-rows.ts writes; an invented study",
            tolerance = 2e-5,
            toleranceReason = "relative; cohort-rows.csv has seven digits, and the variances of lme4 stop at about 1e-5 of themselves",
            cases = lapply(c("trunk_lean", "stance_per_shoulder_width"), of))
write(toJSON(out, digits = 15, auto_unbox = TRUE, pretty = TRUE), "tests/references/cohort-lme4.json")
