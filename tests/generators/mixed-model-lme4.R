# Writes tests/references/mixed-model-lme4.json with lme4, lmerTest and emmeans, the independent programs for the linear
# mixed model. Made, unbalanced data sets of invented lifters. Debian: r-cran-lme4 r-cran-lmertest r-cran-emmeans r-cran-jsonlite
# Run in the project's folder: Rscript tests/generators/mixed-model-lme4.R
suppressPackageStartupMessages({ library(lme4); library(lmerTest); library(emmeans); library(jsonlite) })
set.seed(20170101)
# The optimiser goes on to where the deviance no longer falls: its default stop leaves 1e-4 in the variances.
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 0.02, rhoend = 1e-9, maxfun = 100000),
                     check.conv.singular = "ignore", calc.derivs = TRUE, boundary.tol = 0)

shoes <- c("flat", "lifted", "wedge")
make <- function(athletes, rows, sdIntercept, sdSlope, rho, sdResidual, between = 0) {
  a <- rep(seq_len(athletes), times = rows)
  n <- length(a)
  height <- sample(c(0, 5, 10, 15, 20, 25), n, TRUE)
  shoe <- sample(shoes, n, TRUE, prob = c(0.5, 0.3, 0.2))
  stance <- sample(c("narrow", "wide"), n, TRUE, prob = c(0.6, 0.4))
  mass <- round(rnorm(athletes, 82, 11), 1)
  l <- matrix(c(1, 0, rho, sqrt(1 - rho^2)), 2)
  b <- matrix(rnorm(2 * athletes), athletes) %*% l %*% diag(c(sdIntercept, sdSlope))
  y <- 42 + 0.3 * height + 2 * (shoe == "lifted") - 1 * (shoe == "wedge") + 4 * (stance == "wide") -
    0.15 * height * (stance == "wide") + 0.1 * (mass[a] - 82) + b[a, 1] + b[a, 2] * height + rnorm(n, 0, sdResidual)
  data.frame(athlete_id = sprintf("A%02d", a), heel_height_mm = height, shoe = shoe, stance = stance,
             mass_kg = mass[a], trunk_lean_deg = round(y, 2))
}
plain <- make(11, c(3, 9, 12, 7, 5, 14, 2, 10, 8, 6, 11), 4, 0.25, -0.4, 2)
# Athletes less apart than chance would have them: their means are taken out.
edge <- make(8, c(6, 6, 7, 5, 8, 6, 4, 9), 0, 0, 0, 3)
edge$trunk_lean_deg <- round(edge$trunk_lean_deg - ave(edge$trunk_lean_deg, edge$athlete_id) + 44, 2)
perfect <- make(9, c(8, 7, 9, 6, 10, 8, 5, 7, 9), 3, 0.3, 1, 3)
two <- make(15, sample(6:16, 15, TRUE), 4, 0.3, 0.3, 1.5)
rich <- make(18, sample(8:20, 18, TRUE), 4, 0.3, 0.3, 1.5)
rich$trunk_lean_deg <- round(rich$trunk_lean_deg + rnorm(18, 0, 2)[as.integer(factor(rich$athlete_id))] * (rich$stance == "wide"), 2)

numbers <- function(fit, contrasts = list(), joint = list(), means = list()) {
  s <- coef(summary(fit, ddf = "Satterthwaite"))
  v <- as.data.frame(VarCorr(fit))
  # calcSatterth of a row is contest1D.
  one <- lapply(contrasts, function(l) { c1 <- contest1D(fit, l); list(weights = l, estimate = c1$Estimate, se = c1$`Std. Error`, freedom = c1$df, t = c1$`t value`, p = c1$`Pr(>|t|)`) })
  many <- lapply(joint, function(L) { c2 <- contestMD(fit, L); list(weights = L, f = c2$`F value`, freedom1 = c2$NumDF, freedom2 = c2$DenDF, p = c2$`Pr(>F)`) })
  emm <- lapply(means, function(f) {
    e <- as.data.frame(emmeans(fit, f$factor, at = f$at, lmer.df = "satterthwaite"))
    list(factor = f$factor, at = f$at, level = as.character(e[[1]]), mean = e$emmean, se = e$SE, freedom = e$df, lower = e$lower.CL, upper = e$upper.CL)
  })
  crit <- if (isREML(fit)) REMLcrit(fit) else deviance(fit)
  list(criterion = if (isREML(fit)) "REML" else "ML", deviance = unname(crit), aic = AIC(fit), bic = BIC(fit),
       effects = data.frame(name = rownames(s), estimate = s[, 1], se = s[, 2], freedom = s[, 3], t = s[, 4], p = s[, 5], row.names = NULL),
       sds = v$sdcor[is.na(v$var2) & v$grp != "Residual"], correlations = v$sdcor[!is.na(v$var2)], residual = sigma(fit),
       singular = isSingular(fit), modes = unname(as.matrix(do.call(cbind, ranef(fit, condVar = FALSE)))), fitted = unname(fitted(fit)),
       contrasts = one, joint = many, means = emm)
}

full <- lmer(trunk_lean_deg ~ heel_height_mm + shoe + stance + heel_height_mm:stance + (heel_height_mm | athlete_id), plain, control = tight)
unit <- function(...) { l <- numeric(6); l[c(...)[c(TRUE, FALSE)]] <- c(...)[c(FALSE, TRUE)]; l }
asked <- function(fit) numbers(fit,
  contrasts = list(unit(2, 1, 6, 1), unit(3, -1, 4, 1), unit(1, 1, 2, 20, 5, 1, 6, 20)),
  joint = list(rbind(unit(3, 1), unit(4, 1)), rbind(unit(2, 1), unit(6, 1)), rbind(unit(1, 1), unit(2, 1), unit(5, 1))),
  means = list(list(factor = "stance", at = list(heel_height_mm = 20)), list(factor = "shoe", at = NULL)))
fixed <- c("heel_height_mm", "shoe", "stance", "heel_height_mm:stance")
ratio <- function(a, b) { t <- anova(a, b, refit = FALSE); list(statistic = t$Chisq[2], freedom = t$Df[2], p = t$`Pr(>Chisq)`[2]) }

small <- lmer(trunk_lean_deg ~ heel_height_mm + stance + (heel_height_mm | athlete_id), plain, REML = FALSE, control = tight)
single <- lmer(trunk_lean_deg ~ heel_height_mm + shoe + stance + heel_height_mm:stance + (1 | athlete_id), plain, REML = FALSE, control = tight)
big <- lmer(trunk_lean_deg ~ heel_height_mm + shoe + stance + heel_height_mm:stance + (heel_height_mm | athlete_id), plain, REML = FALSE, control = tight)
mass <- lmer(trunk_lean_deg ~ mass_kg + shoe + (1 | athlete_id), plain, control = tight)
loose <- lmer(trunk_lean_deg ~ heel_height_mm + stance + (heel_height_mm || athlete_id), two, control = tight)
three <- lmer(trunk_lean_deg ~ heel_height_mm + stance + (heel_height_mm + stance | athlete_id), two, control = tight)
four <- lmer(trunk_lean_deg ~ heel_height_mm + stance + (heel_height_mm + stance | athlete_id), rich, control = tight)
none <- lmer(trunk_lean_deg ~ heel_height_mm + stance + (1 | athlete_id), edge, control = tight)
rank1 <- lmer(trunk_lean_deg ~ heel_height_mm + stance + (heel_height_mm | athlete_id), perfect, control = tight)

slope <- list("heel_height_mm")
case <- function(name, data, fixed, slopes, correlated, found) list(name = name, data = data, fixed = fixed, slopes = slopes, correlated = correlated, found = found)
record <- list(
  source = sprintf("lme4 %s, lmerTest %s (Satterthwaite, Fai & Cornelius), emmeans %s, %s", packageVersion("lme4"), packageVersion("lmerTest"), packageVersion("emmeans"), R.version.string),
  provenance = "recomputed by tests/generators/mixed-model-lme4.R; data invented there (synthetic lifters, unbalanced), no one was measured",
  tolerance = list(deviance = 1e-9, effect = 1e-6, variance = 5e-6, freedom = 1e-5),
  toleranceReason = "deviance: absolute. effect (estimates and fitted values, beside their SE), variance (SDs and SEs, relative; correlations absolute), freedom (relative): lme4 finds its minimum from values alone, rounded at 1e-12 of the deviance, which leaves some 1e-6 in the variance parameters; lmerTest differentiates the deviance numerically",
  data = list(plain = plain, edge = edge, perfect = perfect, two = two, rich = rich),
  cases = list(
    case("factors, covariate and interaction, REML", "plain", fixed, slope, TRUE, asked(full)),
    case("factors, covariate and interaction, ML", "plain", fixed, slope, TRUE, asked(big)),
    case("a covariate between athletes, random intercept", "plain", list("mass_kg", "shoe"), list(), TRUE, numbers(mass)),
    case("uncorrelated slope", "two", list("heel_height_mm", "stance"), slope, FALSE, numbers(loose)),
    case("two slopes, one of a factor", "rich", list("heel_height_mm", "stance"), list("heel_height_mm", "stance"), TRUE, numbers(four)),
    case("two slopes of which only one direction varies (singular)", "two", list("heel_height_mm", "stance"), list("heel_height_mm", "stance"), TRUE, numbers(three)),
    case("no spread between athletes (singular)", "edge", list("heel_height_mm", "stance"), list(), TRUE, numbers(none)),
    case("correlation at its edge (singular)", "perfect", list("heel_height_mm", "stance"), slope, TRUE, numbers(rank1))),
  ratios = list(shoe = c(list(small = list("heel_height_mm", "stance"), smallSlopes = slope), ratio(small, big)),
                slope = c(list(small = fixed, smallSlopes = list()), ratio(single, big))))
writeLines(toJSON(record, digits = NA, auto_unbox = TRUE, dataframe = "columns", matrix = "rowmajor", null = "null"), "tests/references/mixed-model-lme4.json")
